#!/usr/bin/env python3
"""Sheets of twenty awkward fields, to be looked at: shapes, sizes, names, verdicts, kinds of readings.

usage: contact_sheet.py PROGRAM FOLDER [NAME ...]

FOLDER gets a survey for each field (all invented, in mid-ocean, with a fixed seed), the pages of its PDF as pictures
where pdftoppm is installed, and index.html: every page in color, as a photocopy, and as eyes without red or green cones
see it. Nothing is judged here; look at each as someone in the third row would.
"""
import csv
import html
import json
import math
import os
import random
import shutil
import struct
import subprocess
import sys
import zlib

LON, LAT = -39.34, 42.975
EAST, NORTH = 111320 * math.cos(math.radians(LAT)), 111132.0


def lonlat(x, y):
    return [round(LON + x / EAST, 8), round(LAT + y / NORTH, 8)]


def box(x0, y0, x1, y1):
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def turned(ring, degrees):
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return [(x * c - y * s, x * s + y * c) for x, y in ring]


def inside(place, polygons):
    crossings = 0
    for polygon in polygons:
        for ring in polygon:
            for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1]):
                if (ay > place[1]) != (by > place[1]) and place[0] < ax + (place[1] - ay) / (by - ay) * (bx - ax):
                    crossings += 1
    return crossings % 2 == 1


def chance_at(place, foci, base):
    return base + sum(high * math.exp(-((place[0] - x) ** 2 + (place[1] - y) ** 2) / (2 * reach**2))
                      for x, y, reach, high in foci)


def stops_of(draw, polygons, count):
    """A jittered grid with about `count` stops inside."""
    xs = [x for polygon in polygons for x, _ in polygon[0]]
    ys = [y for polygon in polygons for _, y in polygon[0]]
    step = math.sqrt((max(xs) - min(xs)) * (max(ys) - min(ys)) / count)
    while True:
        stops = []
        for i in range(int((max(xs) - min(xs)) / step) + 1):
            for j in range(int((max(ys) - min(ys)) / step) + 1):
                at = (min(xs) + (i + draw.uniform(0.25, 0.75)) * step, min(ys) + (j + draw.uniform(0.25, 0.75)) * step)
                if inside(at, polygons):
                    stops.append(at)
        if len(stops) >= count:
            return draw.sample(stops, count)
        step *= 0.95


SQUARE = [[box(0, 0, 400, 400)]]
POCKETS = [(110, 290, 45, 0.45), (300, 120, 55, 0.35)]
FIELDS = {  # name: polygons, foci (x, y, reach, high), base, stops, what the field is called, options
    "square": (SQUARE, POCKETS, 0.02, 90, "Cinderwick Flat", []),
    "strip": ([[box(0, 0, 2000, 60)]], [(400, 30, 60, 0.5), (1500, 30, 80, 0.4)], 0.02, 90, "Long Tether", []),
    "tall": ([[box(0, 0, 300, 480)]], [(90, 380, 45, 0.5), (210, 120, 50, 0.4)], 0.02, 90, "Standing Tall", []),
    "high-bent": ([[[(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 3550), (0, 3550)]]],
                  [(400, 2900, 250, 0.4), (1300, 400, 200, 0.5)], 0.02, 140, "Long Elbow", []),
    "slanting": ([[turned(box(0, 0, 900, 120), 35)]], [turned([(300, 60)], 35)[0] + (50, 0.5)], 0.03, 80, "Slantway",
                 ["--row-heading", "55", "--swath", "60ft"]),
    "garden": ([[box(0, 0, 25, 20)]], [(8, 12, 4, 0.6)], 0.03, 40, "Kitchen Corner", []),
    "section": ([[box(0, 0, 2000, 2000)]], [(600, 1400, 250, 0.4), (1500, 500, 200, 0.5)], 0.02, 140, "Whole Section",
                ["--swath", "120ft", "--row-heading", "0"]),
    "bent": ([[[(0, 0), (500, 0), (500, 160), (160, 160), (160, 500), (0, 500)]]],
             [(90, 400, 50, 0.5), (400, 80, 50, 0.4)], 0.02, 90, "Elbow Piece", []),
    "holes": ([[box(0, 0, 420, 380), box(60, 60, 130, 140), box(250, 200, 330, 320)]], POCKETS, 0.02, 80,
              "Ponds and Pylon", ["--digs", "30"]),
    "parts": ([[box(0, 0, 220, 260)], [box(300, 80, 520, 340)], [box(120, 330, 230, 420)]],
              [(100, 120, 45, 0.5), (420, 220, 50, 0.4)], 0.02, 90, "Three Parts", []),
    "arabic": (SQUARE, POCKETS, 0.02, 90, "\u062d\u0642\u0644 \u0627\u0644\u0646\u062e\u064a\u0644 12", []),
    "script": (SQUARE, POCKETS, 0.02, 90, "<script>alert(1)</script> & \"\u9ea6\u7530\" \U0001F33E", []),
    "none": (SQUARE, [], 0.0, 60, "Clean Slate", []),
    "even": (SQUARE, [], 0.08, 90, "Evenly Spread", []),
    "unclear": (SQUARE, [(110, 290, 60, 0.14)], 0.05, 32, "Hard to Tell", []),
    "few": (SQUARE, POCKETS, 0.02, 12, "Short Walk", []),
    "all-hot": (SQUARE, [(200, 200, 300, 0.5)], 0.3, 80, "Hot All Over", ["--paper", "a4"]),
    "scores": (SQUARE, POCKETS, 0.02, 80, "Scored by Eye", ["--value", "score", "--limits", "0,10"]),
    "photo": (SQUARE, POCKETS, 0.02, 90, "Seen from Above", ["--photo", "{}/photo.png", "--crs", "EPSG:4326", "--credit",
                                                            "Cinderwick Farm", "--marks", "{}/marks.geojson",
                                                            "--gate=-39.34,42.976"]),
    "distance": (SQUARE, POCKETS, 0.02, 40, "By Distance", ["--value", "score", "--surface", "idw"]),
}


def chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def write_photo(folder):
    """Rows of a crop with a pond and a road, as a PNG with its world file (PNG: ISO/IEC 15948); a well and the road."""
    draw, side, dot = random.Random("photo"), 500, 1.0
    rows = []
    for j in range(side):
        row = bytearray(b"\0")
        for i in range(side):
            shade = 8 * math.sin(i * 0.9) + draw.uniform(-9, 9)
            pond, road = (i - 360) ** 2 + (j - 90) ** 2 < 1600, abs(j - 470) < 6
            base = (60, 80, 95) if pond else (185, 175, 160) if road else (95, 125, 65)
            row += bytes(max(0, min(255, int(part + (0 if pond else shade)))) for part in base)
        rows.append(bytes(row))
    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    with open(f"{folder}/photo.png", "wb") as out:
        out.write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"".join(rows)))
                  + chunk(b"IEND", b""))
    west, north = lonlat(-50, 450)
    with open(f"{folder}/photo.pgw", "w", encoding="utf-8") as out:
        out.write(f"{dot / EAST:.12f}\n0\n0\n{-dot / NORTH:.12f}\n{west:.8f}\n{north:.8f}\n")
    marks = [({"type": "LineString", "coordinates": [lonlat(-50, -20), lonlat(450, -20)]}, "mill road"),
             ({"type": "Point", "coordinates": lonlat(250, 220)}, "well")]
    with open(f"{folder}/marks.geojson", "w", encoding="utf-8") as out:
        json.dump({"type": "FeatureCollection", "features": [
            {"type": "Feature", "properties": {"name": called}, "geometry": shape} for shape, called in marks]}, out)


def write_field(folder, name):
    polygons, foci, base, count, title, options = FIELDS[name]
    draw = random.Random(name)
    rings = [[[lonlat(*corner) for corner in ring + ring[:1]] for ring in polygon] for polygon in polygons]
    shape = {"type": "Feature", "properties": {"name": title},
             "geometry": {"type": "MultiPolygon", "coordinates": rings}}
    with open(f"{folder}/{name}.geojson", "w", encoding="utf-8") as out:
        json.dump({"type": "FeatureCollection", "features": [shape]}, out)
    options = [option.format(folder) for option in options]
    if "--photo" in options:
        write_photo(folder)
    scored = "--value" in options
    with open(f"{folder}/{name}.csv", "w", encoding="utf-8", newline="") as out:
        rows = csv.writer(out)
        rows.writerow(["stop", "lon", "lat", "score", "hits", "checked"])
        for i, place in enumerate(stops_of(draw, polygons, count)):
            chance = min(chance_at(place, foci, base), 0.95)
            hits = sum(draw.random() < chance for _ in range(30))
            rows.writerow([i + 1, *lonlat(*place), round(min(10, 20 * chance * draw.uniform(0.7, 1.3)), 1), hits, 30])
    threshold = ["--threshold", "3"] if scored else ["--hits", "hits", "--checked", "checked", "--threshold", "10"]
    return [f"{folder}/{name}.csv", "--field", f"{folder}/{name}.geojson", "--id", "stop", *threshold, *options]


def pages_of(folder, name):
    if not shutil.which("pdftoppm"):
        return [f"{name}/map.png"]
    subprocess.run(["pdftoppm", "-r", "100", "-png", f"{folder}/{name}/map.pdf", f"{folder}/{name}-page"], check=True)
    return sorted(file for file in os.listdir(folder) if file.startswith(f"{name}-page"))


# Eyes without red or green cones: Vienot, Brettel & Mollon 1999, Color Research and Application 24:243-252 (linear RGB).
FILTERS = """<svg width="0" height="0" style="position:absolute"><filter id="red" color-interpolation-filters="linearRGB">
<feColorMatrix values=".11238 .88762 0 0 0 .11238 .88762 0 0 0 .00401 -.00401 1 0 0 0 0 0 1 0"/></filter>
<filter id="green" color-interpolation-filters="linearRGB">
<feColorMatrix values=".29275 .70725 0 0 0 .29275 .70725 0 0 0 -.02234 .02234 1 0 0 0 0 0 1 0"/></filter></svg>"""
LOOKS = {"in color": "none", "photocopy": "grayscale(1)", "no red cones": "url(#red)", "no green cones": "url(#green)"}


def main():
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    program, folder, names = sys.argv[1], sys.argv[2], sys.argv[3:] or list(FIELDS)
    os.makedirs(folder, exist_ok=True)
    page = ["<!doctype html><meta charset='utf-8'><title>Contact sheet</title>", FILTERS]
    for name in names:
        options = write_field(folder, name)
        done = subprocess.run([program, "map", *options, "--out", f"{folder}/{name}", "--overwrite", "--quiet"])
        page.append(f"<h2>{html.escape(name)}: exit {done.returncode}</h2>")
        for picture in pages_of(folder, name) if done.returncode == 0 else []:
            page += [f"<img src='{picture}' width='700' alt='{look}' title='{look}' style='filter:{how}'>"
                     for look, how in LOOKS.items()]
    with open(f"{folder}/index.html", "w", encoding="utf-8") as out:
        out.write("\n".join(page))
    print(f"{folder}/index.html")


main()

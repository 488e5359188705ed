#!/usr/bin/env python3
"""Invents the demo fields: soybean with Sclerotinia stem rot, walked in two seasons, and a small one of peanut with
southern stem rot. Usage: make_demo_data.py FOLDER

Nothing here is real: neither the farm nor the disease in it. The truth is a low background, three pockets drawn out
along the rows and a wet corner; each stop counts infected plants by chance from that truth. Two of the pockets of 2026
were there in 2024 already (corn stood there in 2025), one is new, and one of 2024 is gone. The peanut field has two
pockets along its rows; at each stop 100 sections of row, 1 ft long, were looked at.
"""

import json
import math
import os
import random
import sys

SEED = 20260818
SEED_2024 = 20240822
ORIGIN = (-39.3412, 42.9737)  # longitude, latitude of the south-west corner: open ocean, where nobody farms
ROW_HEADING = 6.0  # degrees clockwise from true north
SPACING = 43.0  # meters between stops

# Meters east and north of the origin. Fence and drive cut the corners; the slough in the middle is not farmed.
OUTLINE = [(0, 0), (408, 12), (421, 238), (369, 402), (228, 431), (63, 418), (-14, 176)]
SLOUGH = [(232, 236), (251, 262), (243, 299), (214, 312), (189, 291), (193, 252), (210, 235)]

# East, north, spread along and across the rows (meters), height (logits).
POCKETS = [(96, 322, 78, 27, 3.9), (322, 138, 88, 30, 4.2), (158, 84, 46, 22, 3.2)]
POCKETS_2024 = [(101, 330, 70, 29, 3.8), (317, 122, 66, 33, 4.1), (348, 344, 40, 28, 3.8)]
# The peanut field: a rectangle with a cut corner, 110 x 290 m; its rows run nearly east.
PEANUT_SEED = 20260722
PEANUT_OUTLINE = [(700, 40), (984, 22), (991, 128), (960, 151), (707, 148)]
PEANUT_HEADING = 86.0
PEANUT_POCKETS = [(785, 112, 38, 14, 2.9), (918, 62, 45, 15, 3.1)]
BACKGROUND = -4.0  # logits: about 2 % of the plants
WET_CORNER = (421, 402, 120, 1.6)  # east, north, spread, height


def to_lonlat(east, north):
    """Near enough to the WGS84 ellipsoid over half a kilometer."""
    squared = 0.00669437999014  # first eccentricity, squared
    latitude = math.radians(ORIGIN[1])
    curve = 1 - squared * math.sin(latitude) ** 2
    prime, meridian = 6378137 / math.sqrt(curve), 6378137 * (1 - squared) / curve**1.5
    return (
        round(ORIGIN[0] + math.degrees(east / (prime * math.cos(latitude))), 7),
        round(ORIGIN[1] + math.degrees(north / meridian), 7),
    )


def inside(ring, east, north):
    crossings = False
    for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1]):
        if (y1 > north) != (y2 > north) and east < x1 + (north - y1) * (x2 - x1) / (y2 - y1):
            crossings = not crossings
    return crossings


def infected_share(east, north, pockets=None, row_heading=ROW_HEADING):
    heading = math.radians(row_heading)
    logit = BACKGROUND
    for x, y, along, across, height in pockets or POCKETS:
        u = (east - x) * math.sin(heading) + (north - y) * math.cos(heading)
        v = (east - x) * math.cos(heading) - (north - y) * math.sin(heading)
        logit += height * math.exp(-((u / along) ** 2 + (v / across) ** 2) / 2)
    x, y, spread, height = WET_CORNER
    logit += height * math.exp(-math.hypot(east - x, north - y) / spread)
    return 1 / (1 + math.exp(-logit))


def walk(draw):
    """A jittered grid, up one lane and down the next, with a second look a few meters on at every tenth place."""
    places = []
    for lane in range(11):
        steps = range(11) if lane % 2 == 0 else reversed(range(11))
        for step in steps:
            east = (lane + 0.25) * SPACING + draw.uniform(-9, 9)
            north = (step + 0.3) * SPACING + draw.uniform(-9, 9)
            if not inside(OUTLINE, east, north) or inside(SLOUGH, east, north):
                continue
            places.append((east, north))
            if len(places) % 10 == 0:
                near = (east + draw.uniform(3, 6), north + draw.uniform(-6, 6))
                if inside(OUTLINE, *near) and not inside(SLOUGH, *near):
                    places.append(near)
    return places


def scout(draw):
    places = walk(draw)
    rows = []
    for number, (east, north) in enumerate(places, 1):
        checked = draw.choice([30, 30, 30, 30, 30, 30, 25, 20])
        infected = sum(draw.random() < infected_share(east, north) for _ in range(checked))
        date = "2026-08-18" if number <= len(places) * 0.55 else "2026-08-19"
        rows.append([*to_lonlat(east, north), str(number), date, checked, infected])
    rows[61][5] = ""  # the scout forgot to write it down
    again = list(rows[28])  # and counted thirty more at one place
    again[2:3], again[4] = [again[2] + "b"], 30
    again[5] = sum(draw.random() < infected_share(*places[28]) for _ in range(30))
    rows.insert(29, again)
    return rows


def scout_2024(draw):
    """Another walk of the same kind, in one day, with everything written down."""
    rows = []
    for number, (east, north) in enumerate(walk(draw), 1):
        infected = sum(draw.random() < infected_share(east, north, POCKETS_2024) for _ in range(30))
        rows.append([*to_lonlat(east, north), str(number), "2024-08-22", 30, infected])
    return rows


def scout_peanut(draw):
    """Up one lane of rows and down the next, 20 m apart; 100 sections of row at each stop."""
    rows = []
    for lane in range(6):
        steps = range(15) if lane % 2 == 0 else reversed(range(15))
        for step in steps:
            east, north = 708 + 20 * step + draw.uniform(-4, 4), 34 + 20 * lane + draw.uniform(-4, 4)
            if not inside(PEANUT_OUTLINE, east, north):
                continue
            share = infected_share(east, north, PEANUT_POCKETS, PEANUT_HEADING)
            hits = sum(draw.random() < share for _ in range(100))
            rows.append([*to_lonlat(east, north), str(len(rows) + 1), "2026-07-22", 100, hits])
    return rows


def write_stops(folder, name, rows, columns="lon,lat,stop,date,checked,infected"):
    with open(os.path.join(folder, name), "w", encoding="utf-8", newline="\n") as file:
        file.write(columns + "\n")
        for row in rows:
            file.write("%.7f,%.7f,%s,%s,%s,%s\n" % tuple(row))


def ring_lonlat(ring):
    return [list(to_lonlat(*corner)) for corner in ring + ring[:1]]


def write_field(folder, file_name, name, crop, heading, rings):
    field = {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "properties": {"name": name, "crop": crop, "row_heading_deg": heading},
                "geometry": {"type": "Polygon", "coordinates": [ring_lonlat(ring) for ring in rings]},
            }
        ],
    }
    with open(os.path.join(folder, file_name), "w", encoding="utf-8", newline="\n") as file:
        json.dump(field, file, indent=1)
        file.write("\n")


def main():
    folder = sys.argv[1]
    os.makedirs(folder, exist_ok=True)
    write_stops(folder, "stops-2024.csv", scout_2024(random.Random(SEED_2024)))
    write_stops(folder, "stops-2026.csv", scout(random.Random(SEED)))
    write_field(folder, "field.geojson", "Quillfeather Farm, North Forty", "soybean", ROW_HEADING, [OUTLINE, SLOUGH[::-1]])
    write_stops(folder, "peanut-stops-2026.csv", scout_peanut(random.Random(PEANUT_SEED)), "lon,lat,stop,date,sections,hits")
    write_field(folder, "peanut-field.geojson", "Quillfeather Farm, Ferry Strip", "peanut", PEANUT_HEADING, [PEANUT_OUTLINE])


if __name__ == "__main__":
    main()

"""Fields of every shape with invented stops, and a disease profile that says very much: make_sheets.py FOLDER PROFILE.

Coordinates are metres of UTM zone 31N in the Gulf of Guinea, where nobody farms."""
import json
import math
import random
import sys

EAST, NORTH = 500000, 100000


def circle(radius):
    turns = [2 * math.pi * i / 60 for i in range(60)]
    return [(radius * (1 + math.cos(t)), radius * (1 + math.sin(t))) for t in turns]


SHAPES = {
    "strip": [(0, 0), (60, 0), (60, 2000), (0, 2000)],
    "square": [(0, 0), (400, 0), (400, 400), (0, 400)],
    "garden": [(0, 0), (24, 0), (24, 15), (0, 15)],
    "circle": circle(400),
    "corner": [(0, 0), (500, 0), (500, 150), (180, 150), (180, 450), (0, 450)],
}


def inside(ring, x, y):
    hit = False
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1]):
        if (ay > y) != (by > y) and x < ax + (bx - ax) * (y - ay) / (by - ay):
            hit = not hit
    return hit


def write_field(path, name, ring):
    points = [[EAST + x, NORTH + y] for x, y in ring + ring[:1]]
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::32631"}}
    shape = {"type": "Polygon", "coordinates": [points]}
    feature = {"type": "Feature", "properties": {"name": name}, "geometry": shape}
    with open(path, "w", encoding="utf-8") as file:
        json.dump({"type": "FeatureCollection", "crs": crs, "features": [feature]}, file)


def write_stops(path, ring, count, dates, line=False):
    """Two round pockets; the stops all over the field, or on one line."""
    draws = random.Random(count)
    width = max(x for x, _ in ring)
    height = max(y for _, y in ring)
    size = math.hypot(width, height)
    with open(path, "w", encoding="utf-8") as file:
        file.write("x,y,hits,checked,score,date\n")
        while count > 0:
            x, y = draws.random() * width, draws.random() * height
            if line:
                x = width * 0.3
            if not inside(ring, x, y):
                continue
            near = min(math.hypot(x - 0.3 * width, y - 0.7 * height), math.hypot(x - 0.2 * width, y - 0.2 * height))
            share = 0.6 * math.exp(-((near / (0.1 * size)) ** 2)) + 0.02
            hits = sum(draws.random() < share for _ in range(25))
            count -= 1
            file.write(f"{EAST + x:.2f},{NORTH + y:.2f},{hits},25,{hits},{dates[count % len(dates)]}\n")


def write_profile(path, built_in):
    """A built-in profile whose own cautions give way to fourteen long ones."""
    words = "mind what is near, ask who knows the place, write down what was done, and wait where nobody can say for sure"
    cautions = [{"text": f"Caution {i} of the longest profile: {words}; {words}.", "source": "common practice, no source"}
                for i in range(1, 15)]
    with open(built_in, encoding="utf-8") as file:
        profile = json.load(file)
    profile.update(name="longest", title="Longest rot of clover", hits_column="hits", cautions=cautions)
    with open(path, "w", encoding="utf-8") as file:
        json.dump(profile, file)


def main():
    folder = sys.argv[1]
    for name, ring in SHAPES.items():
        write_field(f"{folder}/{name}.geojson", name, ring)
        write_stops(f"{folder}/{name}.csv", ring, 60, ["2026-08-18"])
    write_stops(f"{folder}/line.csv", SHAPES["square"], 31, ["2026-08-01", "2026-08-20"], line=True)
    write_stops(f"{folder}/few.csv", SHAPES["square"], 12, ["2026-08-18"])
    write_profile(f"{folder}/longest.json", sys.argv[2])


main()

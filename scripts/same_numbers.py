#!/usr/bin/python3
"""Do two builds of the program say the same? Runs both over the demo, over fields and over seasons, and compares what they write.

    scripts/same_numbers.py OLD NEW [FIELDS] [--only WORD] [--jobs J] [--keep FOLDER]

OLD and NEW are the two programs. FIELDS as for scripts/score_fields.py; left out: ten fields invented here with a fixed
seed, half of them with counts and half with scores, one each with more stops than the joint model takes.

Of every run are compared: what it prints, its exit status, each number and each text of its JSON, CSV, GPX, GeoJSON and
GeoPackage files, each cell of its rasters, each pixel of its pictures.
  same    equal to the last bit
  moved   a number within 1e-9 of the other (relative; 1e-9 of its file's largest one near zero; in a Float32 raster one
          unit in the last place), a pixel
  flip    a text, a whole number, a length of a list that differs: a decision went the other way, or words changed
  off     a number farther away than that, a file or a layer that only one of them writes
Prints every flip and everything off; ends with 1 where there is any. Needs Debian's python3-numpy and python3-gdal.
"""
import argparse
import csv
import json
import math
import os
import re
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
from osgeo import gdal, ogr

sys.path.insert(0, str(Path(__file__).resolve().parent))
from score_verdict import CELL, gaussian_field  # noqa: E402

gdal.UseExceptions()
ogr.UseExceptions()
TOLERANCE = 1e-9
DEMO = Path(__file__).resolve().parent.parent / "testdata" / "demo"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?")
WHERE = (-20.0, -40.0)  # open water


def invent_field(folder, number):
    """stops.csv (checked, infected, score) and field.geojson; the stops' number, threshold of counts and of scores."""
    random = np.random.default_rng(7100 + number)
    wide, high = random.uniform(350, 600), random.uniform(300, 500)
    inside = gaussian_field(random, (int(wide / CELL) + 1, int(high / CELL) + 1), number % 2 == 1,
                            random.uniform(30, 110), random.uniform(0, math.pi), 1 + number % 3)
    count = {8: 640, 9: 1040}.get(number, int(random.integers(40, 130)))
    x, y = random.uniform(5, wide - 5, count), random.uniform(5, high - 5, count)
    at = inside[(x / CELL).astype(int), (y / CELL).astype(int)]
    checked = np.full(count, random.choice([20, 40, 60]))
    infected = random.binomial(checked, 1 / (1 + np.exp(-(-2.6 + 1.2 * at))))
    score = np.exp(1.5 + 0.6 * at + 0.3 * random.standard_normal(count))

    def degrees(e, n):
        return WHERE[0] + e / (111320 * math.cos(math.radians(WHERE[1]))), WHERE[1] + n / 110574

    folder.mkdir(parents=True)
    with open(folder / "stops.csv", "w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(["stop", "lon", "lat", "checked", "infected", "score"])
        for i in range(count):
            lon, lat = degrees(x[i], y[i])
            rows.writerow([i + 1, f"{lon:.8f}", f"{lat:.8f}", checked[i], infected[i], f"{score[i]:.3f}"])
    corners = [(0, 0), (wide, 0), (wide, 0.8 * high), (0.85 * wide, high), (0, high), (0, 0)]
    corners = [(min(max(e, 0), wide), n) for e, n in corners]
    shape = {"type": "Polygon", "coordinates": [[list(degrees(e, n)) for e, n in corners]]}
    (folder / "field.geojson").write_text(json.dumps(
        {"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"name": f"Field {number}"}, "geometry": shape}]}))


def invented_runs(place):
    """name -> commands of one field, run one after the other in a folder of their own; later ones read the earlier ones' files."""
    runs = {}
    scores = [[], ["--fit", "weighted-squares"], ["--surface", "idw"], ["--surface", "indicator"], ["--trend", "1"],
              ["--variogram", "matern,nugget=2,partial-sill=12,range=40,smoothness=1.5"], ["--scale", "none", "--row-heading", "none"],
              ["--fit", "likelihood", "--scale", "box-cox=0.5"]]
    for number in range(10):
        folder = place / f"field-{number}"
        invent_field(folder, number)
        common = [str(folder / "stops.csv"), "--field", str(folder / "field.geojson"), "--id", "stop"]
        counts = ["--hits", "infected", "--checked", "checked", "--threshold", "12"]
        score = ["--value", "score", "--threshold", "8"]
        if number == 8:
            runs[f"field-{number} counts"] = [["map", *common, *counts, "--row-heading", "20", "--out", "survey"]]
        elif number == 9:
            runs[f"field-{number} scores"] = [["map", *common, *score, "--out", "survey"]]
        elif number % 2 == 0:
            ways = [[], ["--row-heading", "70"], ["--row-heading", "none", "--stop-variation", "on"], ["--stop-variation", "off"]]
            runs[f"field-{number} counts"] = [["map", *common, *counts, *ways[number // 2 % 4], "--out", "survey"],
                                              ["pattern", *common, *counts, "--json"],
                                              ["estimate", *common[:1], *counts, "--cross-check", "--out", "left-out.csv"]]
        for way in ([scores[number - 1], scores[(number + 3) % 8]] if number % 2 and number < 9 else []):
            runs[f"field-{number} scores {' '.join(way)}"] = [
                ["map", *common, *score, *way, "--out", "survey"],
                ["estimate", *common[:1], *score, *way, "--at", common[0], "--out", "at.csv"],
                ["variogram", *common[:1], "--value", "score", "--json"]]
    return runs


def given_runs(fields):
    runs = {}
    for folder in sorted(p for p in fields.iterdir() if (p / "points.geojson").exists()):
        meta = json.loads((folder / "meta.json").read_text())
        counts = ["--hits", "infected", "--checked", "checked", "--threshold", repr(100 * meta["threshold"])]
        common = [str(folder / "points.geojson"), "--field", str(folder / "field.geojson")]
        runs[f"{folder.name} counts"] = [["map", *common, *counts, "--row-heading", repr(meta["row_heading_deg"]), "--out", "survey"]]
    return runs


def demo_runs():
    disease = ["--field", str(DEMO / "field.geojson"), "--hits", "infected", "--checked", "checked", "--id", "stop", "--when", "date",
               "--disease", "sclerotinia-stem-rot-of-soybean", "--threshold", "10", "--row-heading", "6"]

    def season(year, *rest):
        return ["map", str(DEMO / f"stops-{year}.csv"), *disease, "--season", year, *rest]

    peanut = [str(DEMO / "peanut-stops-2026.csv"), "--field", str(DEMO / "peanut-field.geojson"), "--id", "stop", "--when", "date",
              "--disease", "southern-stem-rot-of-peanut", "--threshold", "5", "--row-heading", "86"]
    return {
        "demo seasons": [season("2024", "--out", "2024"), season("2026", "--out", "2026"),
                         season("2026", "--earlier", "2024", "--out", "earlier"), ["seasons", "2024", "2026", "--out", "seasons"],
                         ["record", "2024", "--history", "history.gpkg"], ["record", "2026", "--history", "history.gpkg"],
                         ["seasons", "--history", "history.gpkg", "--out", "from-history"]],
        "demo task": [["map", *peanut, "--swath", "20ft", "--least-run", "30ft", "--margin", "10ft", "--out", "survey"],
                      ["task", "survey", "--treat", "12", "--unit", "gal/ac", "--product", "as labeled", "--out", "task"]],
        "demo checks": [["check", str(DEMO / "stops-2026.csv"), *disease[:10], "--json"],
                        ["pattern", str(DEMO / "stops-2026.csv"), *disease[2:6], "--json", "--out", "local.csv"]],
    }


def run_all(program, runs, place, jobs):
    """name -> folder with everything it wrote and printed."""
    environment = dict(os.environ, SOURCE_DATE_EPOCH="1790000000", OMP_NUM_THREADS="1", OMP_WAIT_POLICY="passive")

    def one(item):
        name, commands = item
        folder = place / re.sub(r"[^a-z0-9]+", "-", name)
        folder.mkdir(parents=True)
        for i, command in enumerate(commands):
            done = subprocess.run([program, *command], cwd=folder, env=environment, capture_output=True, text=True)
            (folder / f"printed-{i}.txt").write_text(f"exit {done.returncode}\n{done.stdout}\n{done.stderr}")
        return name, folder

    with ThreadPoolExecutor(jobs) as pool:
        return dict(pool.map(one, runs.items()))


class Comparison:
    def __init__(self):
        self.same, self.moved, self.worst, self.worst_at, self.told = 0, 0, 0.0, "", []

    def tell(self, kind, where, old, new):
        self.told.append(f"{kind:5} {where}: {str(old)[:160]!r} -> {str(new)[:160]!r}")

    def number(self, where, old, new, scale):
        if old == new or (math.isnan(old) and math.isnan(new)):
            self.same += 1
            return
        error = abs(old - new) / max(abs(old), abs(new), scale)
        if not error <= TOLERANCE:
            self.tell("off", f"{where} ({error:.1e})", old, new)
            return
        self.moved += 1
        if error > self.worst:
            self.worst, self.worst_at = error, where

    def text(self, where, old, new):
        """Texts with numbers in them: the words must be equal, whole numbers too."""
        if old == new:
            self.same += 1
        elif NUMBER.sub("#", old) != NUMBER.sub("#", new):
            self.tell("flip", where, old, new)
        else:
            for a, b in zip(NUMBER.findall(old), NUMBER.findall(new)):
                if a != b and float(a) == int(float(a)) and float(b) == int(float(b)):
                    self.tell("flip", where, a, b)
                else:
                    self.number(where, float(a), float(b), 0)

    def value(self, where, old, new, scale=0.0):
        if isinstance(old, bool) or isinstance(new, bool) or type(old) is not type(new):
            if {type(old), type(new)} <= {int, float} and not isinstance(old, bool):
                self.number(where, float(old), float(new), scale)
            elif old == new:
                self.same += 1
            else:
                self.tell("flip", where, old, new)
        elif isinstance(old, dict):
            if list(old) != list(new):
                self.tell("flip", where, list(old), list(new))
            for key in old:
                if key in new and key != "sha256":
                    self.value(f"{where}.{key}", old[key], new[key], scale)
        elif isinstance(old, list):
            if len(old) != len(new):
                self.tell("flip", f"{where}, its length", len(old), len(new))
            for i, (a, b) in enumerate(zip(old, new)):
                self.value(f"{where}[{i}]", a, b, scale)
        elif isinstance(old, float):
            self.number(where, old, new, scale)
        elif isinstance(old, str):
            self.text(where, old, new)
        elif old == new:
            self.same += 1
        else:
            self.tell("flip", where, old, new)

    def lines(self, where, old, new):
        old, new = old.read_text().splitlines(), new.read_text().splitlines()
        if len(old) != len(new):
            self.tell("flip", f"{where}, its lines", len(old), len(new))
        for i, (a, b) in enumerate(zip(old, new)):
            self.text(f"{where}:{i + 1}", a, b)

    def raster(self, where, old, new):
        old, new = gdal.Open(str(old)), gdal.Open(str(new))
        self.value(f"{where} metadata", old.GetMetadata(), new.GetMetadata())
        a, b = old.ReadAsArray(), new.ReadAsArray()
        if a.shape != b.shape or old.GetGeoTransform() != new.GetGeoTransform():
            self.tell("off", f"{where}, its frame", a.shape, b.shape)
            return
        a, b = np.atleast_3d(a), np.atleast_3d(b)
        differs = ~((a == b) | (np.isnan(a) & np.isnan(b))) if a.dtype.kind == "f" else a != b
        self.same += int(differs.size - differs.sum())
        if not differs.any():
            return
        if where.endswith(".png"):
            self.moved += int(differs.sum())
            print(f"      {where}: {int(differs.any(axis=0).sum())} pixels")
        elif a.dtype.kind != "f":
            self.tell("flip", f"{where}, cells", int(differs.sum()), "")
        else:
            close = np.abs(a - b) <= np.maximum(np.spacing(np.abs(a)), TOLERANCE * np.nanmax(np.abs(a)))
            self.moved += int((differs & close).sum())
            if (differs & ~close).any():
                at = np.unravel_index(np.nanargmax(np.where(differs, np.abs(a - b), 0)), a.shape)
                self.tell("off", f"{where}, {int((differs & ~close).sum())} cells, the farthest", a[at], b[at])

    def layers(self, where, old, new):
        old, new = ogr.Open(str(old)), ogr.Open(str(new))
        names = [[data.GetLayer(i).GetName() for i in range(data.GetLayerCount())] for data in (old, new)]
        if names[0] != names[1]:
            self.tell("off", f"{where}, its layers", *names)
            return
        for name in names[0]:
            features = [[dict(f.items(), shape=json.loads(f.ExportToJson())["geometry"]) for f in data.GetLayerByName(name)]
                        for data in (old, new)]
            for rows in features:
                for row in rows:
                    row.pop("sha256", None)
                    row.pop("summary", None)
            self.value(f"{where} {name}", *features)

    def folder(self, name, old, new):
        files = [sorted(str(p.relative_to(f)) for p in f.rglob("*") if p.is_file()) for f in (old, new)]
        for only in set(files[0]) ^ set(files[1]):
            self.tell("off", f"{name} {only}", only in files[0], only in files[1])
        for file in sorted(set(files[0]) & set(files[1])):
            where, pair, kind = f"{name} {file}", (old / file, new / file), Path(file).suffix
            if kind in (".json", ".geojson"):
                self.value(where, *(json.loads(p.read_text()) for p in pair))
            elif kind in (".tif", ".png"):
                self.raster(where, *pair)
            elif kind in (".gpkg", ".shp"):
                self.layers(where, *pair)
            elif kind in (".csv", ".gpx", ".txt", ".xml", ".XML"):
                self.lines(where, *pair)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("old", type=Path)
    parser.add_argument("new", type=Path)
    parser.add_argument("fields", nargs="?", type=Path)
    parser.add_argument("--only", default="", help="runs whose name holds this word")
    parser.add_argument("--jobs", type=int, default=2)
    parser.add_argument("--keep", type=Path, help="leave what was written in this folder")
    choice = parser.parse_args()
    place = Path(choice.keep or tempfile.mkdtemp())
    runs = demo_runs() | (given_runs(choice.fields.resolve()) if choice.fields else invented_runs(place / "fields"))
    runs = {name: commands for name, commands in runs.items() if choice.only in name}
    folders = [run_all(str(program.resolve()), runs, place / side, choice.jobs) for program, side in ((choice.old, "old"), (choice.new, "new"))]
    comparison = Comparison()
    for name in runs:
        comparison.folder(name, folders[0][name], folders[1][name])
    print("\n".join(comparison.told))
    print(f"{len(runs)} runs: {comparison.same} same, {comparison.moved} moved (a number by {comparison.worst:.1e} at most"
          f"{', ' + comparison.worst_at if comparison.worst_at else ''}), {len(comparison.told)} flips or off")
    if not choice.keep:
        subprocess.run(["rm", "-rf", str(place)], check=True)
    return 1 if comparison.told else 0


if __name__ == "__main__":
    sys.exit(main())

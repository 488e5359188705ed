#!/usr/bin/python3
"""Do the bounds hold where readings are classes of an ordinal scale? Maps invented fields whose percents are known.

    scripts/score_scales.py PROGRAM [--fields N] [--seed N] [--scales NAME,NAME,...]

Each field is a Gaussian one on the logit scale, with what varies from stop to stop on top, 300 x 300 m with 81 stops;
its percents are rated by the limits of src/data/scales, as a rater without error would. Each is mapped three times:

    percent    the percents themselves, which no one has: the best that can be
    middles    class middles taken as if they were percents read (--value)
    scale      scores read by --scale-of, the width of each class as an error that is known

and scored at 200 other places, the percent of a stop there being what is true: share of it inside the 5 % and 95 %
bounds (0.90 is right), mean width of the bounds, RMSE, Brier score of the chance, and the shares inside where the truth
lies in the scale's narrow classes (of 10 points or less) and in its wide ones. Needs Debian's python3-numpy and
python3-gdal.
"""
import argparse
import json
import math
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from osgeo import gdal, ogr, osr

gdal.UseExceptions()
ogr.UseExceptions()

SIDE, ROW, PLACES, THRESHOLD = 300.0, 9, 200, 20.0
EAST, NORTH, SYSTEM = 500000.0, 4500000.0, 32631
MEAN, DEVIATION, RANGE, NUGGET = -1.5, 1.2, 120.0, 0.2  # logit; practical range in meters; share of the variance
SCALES = Path(__file__).resolve().parent.parent / "src" / "data" / "scales"


def read_scale(name):
    """Scores, percents and limits, by the rules of docs/scales.md."""
    scale = json.loads((SCALES / (name + ".json")).read_text())
    classes = scale["classes"]
    scores = np.array([c["score"] for c in classes], float)
    if "logistic" in scale:
        def curve(score):
            return 100 / (1 + np.exp(-(score - scale["logistic"]["middle"]) / scale["logistic"]["step"]))
        return scores, curve(scores), curve(scores[:-1] + 0.5)
    low, high = np.array([c["low"] for c in classes], float), np.array([c["high"] for c in classes], float)
    return scores, (low + high) / 2, (high[:-1] + low[1:]) / 2


def make_boundary(path):
    system = osr.SpatialReference()
    system.ImportFromEPSG(SYSTEM)
    data = ogr.GetDriverByName("GPKG").CreateDataSource(str(path))
    layer = data.CreateLayer("field", system, ogr.wkbPolygon)
    feature = ogr.Feature(layer.GetLayerDefn())
    corners = [(0, 0), (SIDE, 0), (SIDE, SIDE), (0, SIDE), (0, 0)]
    ring = ", ".join(f"{EAST + x} {NORTH + y}" for x, y in corners)
    feature.SetGeometry(ogr.CreateGeometryFromWkt(f"POLYGON (({ring}))"))
    layer.CreateFeature(feature)


def invent(draw):
    """Places, stops first, and their percents."""
    step = SIDE / ROW
    grid = (np.stack(np.meshgrid(np.arange(ROW), np.arange(ROW)), -1).reshape(-1, 2) + 0.5) * step
    stops = grid + draw.uniform(-0.25, 0.25, grid.shape) * step
    places = np.vstack([stops, draw.uniform(5, SIDE - 5, (PLACES, 2))])
    apart = np.linalg.norm(places[:, None] - places[None], axis=2)
    covariance = (1 - NUGGET) * np.exp(-3 * apart / RANGE) + NUGGET * np.eye(len(places))
    field = MEAN + DEVIATION * (np.linalg.cholesky(covariance) @ draw.standard_normal(len(places)))
    return places, 100 / (1 + np.exp(-field))


def layer_at(folder, name, places):
    data = gdal.Open(str(folder / (name + ".tif")))
    layer, frame = data.ReadAsArray().astype(float), data.GetGeoTransform()
    column = ((EAST + places[:, 0] - frame[0]) / frame[1]).astype(int)
    row = ((NORTH + places[:, 1] - frame[3]) / frame[5]).astype(int)
    return layer[row, column]


def run_map(program, folder, places, readings, options):
    stops, out = folder / "stops.csv", folder / "survey"
    lines = [f"{EAST + x:.3f},{NORTH + y:.3f},{value:.12g}" for (x, y), value in zip(places, readings)]
    stops.write_text("x,y,reading\n" + "\n".join(lines) + "\n")
    subprocess.run([program, "map", stops, "--crs", f"EPSG:{SYSTEM}", "--field", folder / "field.gpkg", "--value",
                    "reading", "--threshold", f"{THRESHOLD}", "--cell", "4", "--digs", "0", "--out", out,
                    "--overwrite", "--quiet"] + options, check=True)
    return out


def share(inside):
    return inside.mean() if len(inside) else math.nan


class Tally:
    def __init__(self):
        self.rows = []

    def add(self, out, places, truth, wide):
        low, high = layer_at(out, "low", places), layer_at(out, "high", places)
        estimate, chance = layer_at(out, "severity", places), layer_at(out, "chance", places)
        inside = (low <= truth) & (truth <= high)
        self.rows.append((inside.mean(), (high - low).mean(), ((estimate - truth) ** 2).mean(),
                          ((chance - (truth >= THRESHOLD)) ** 2).mean(), share(inside[~wide]),
                          share(inside[wide])))

    def line(self):
        cover, width, square, brier, narrow, wide = (share(column[np.isfinite(column)])
                                                     for column in np.array(self.rows).T)
        error = np.std([row[0] for row in self.rows], ddof=1) / math.sqrt(len(self.rows))
        return (f"{cover:.3f} +- {error:.3f}  {width:5.1f}  {math.sqrt(square):5.2f}  {brier:.4f}  {narrow:.3f}  "
                f"{wide:.3f}")


def main():
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("program")
    asked.add_argument("--fields", type=int, default=25)
    asked.add_argument("--seed", type=int, default=20261127)
    asked.add_argument("--scales", default="leaf-spot-1-10,rust-1-9,horsfall-barratt-1-12,root-rot-0-4")
    options = asked.parse_args()
    names = options.scales.split(",")
    tallies = {(name, kind): Tally() for name in names for kind in ("percent", "middles", "scale")}
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        make_boundary(folder / "field.gpkg")
        for number in range(options.fields):
            places, percent = invent(np.random.default_rng([options.seed, number]))
            stops, others, truth = places[: ROW * ROW], places[ROW * ROW:], percent[ROW * ROW:]
            limits = ["--limits", "0,100"]
            best = run_map(options.program, folder, stops, percent[: ROW * ROW], limits).rename(folder / "best")
            for name in names:
                scores, middles, between = read_scale(name)
                at = np.searchsorted(between, percent[: ROW * ROW])
                edges = np.concatenate([[0], between, [100]])
                wide = np.diff(edges)[np.searchsorted(between, truth)] > 10.001
                tallies[name, "percent"].add(best, others, truth, wide)
                out = run_map(options.program, folder, stops, middles[at], limits)
                tallies[name, "middles"].add(out, others, truth, wide)
                out = run_map(options.program, folder, stops, scores[at], ["--scale-of", name])
                tallies[name, "scale"].add(out, others, truth, wide)
            subprocess.run(["rm", "-r", best], check=True)
    print(f"{options.fields} fields, seed {options.seed}")
    print(f"{'scale':<22} {'readings':<8} inside 90 %      width  RMSE   Brier   narrow  wide")
    for (name, kind), tally in tallies.items():
        print(f"{name:<22} {kind:<8} {tally.line()}")


if __name__ == "__main__":
    sys.exit(main())

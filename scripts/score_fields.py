#!/usr/bin/python3
"""How well does a map find what is there? Runs `fieldfoci map` over fields whose truth is known and scores its rasters.

    scripts/score_fields.py PROGRAM FIELDS [--options "..."] [--only NAME]

FIELDS holds one folder per field: points.geojson (checked, infected), field.geojson (row_heading_deg, clockwise from
grid north), truth.tif (true share infected), meta.json (threshold). Needs Debian's python3-numpy and python3-gdal.

Scores, over all truth cells: RMSE against that of inverse distance (power 2, all stops); AUC, the area under the ROC
curve of ranking places by chance, less that of inverse distance by severity; share of the cells over the threshold
caught in the top 20 %; Brier score of the chance; share of the truth inside the 5 % and 95 % bounds; calibration error:
mean absolute difference of forecast and observed share over ten classes of chance, all fields together.
"""
import argparse
import json
import math
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from osgeo import gdal

gdal.UseExceptions()


def read(path):
    data = gdal.Open(str(path))
    return data.ReadAsArray().astype(float), data.GetGeoTransform()


def sample(path, east, north):
    """Bilinear between cell centers; where a neighbor has no value, the cell that holds the place."""
    layer, frame = read(path)
    column, row = (east - frame[0]) / frame[1] - 0.5, (north - frame[3]) / frame[5] - 0.5
    left, top = np.floor(column).astype(int), np.floor(row).astype(int)
    along, down = column - left, row - top

    def at(r, c):
        return layer[np.clip(r, 0, layer.shape[0] - 1), np.clip(c, 0, layer.shape[1] - 1)]

    value = ((at(top, left) * (1 - along) + at(top, left + 1) * along) * (1 - down)
             + (at(top + 1, left) * (1 - along) + at(top + 1, left + 1) * along) * down)
    own = at(np.floor(row + 0.5).astype(int), np.floor(column + 0.5).astype(int))
    return np.where(np.isfinite(value), value, own)


def area_under_curve(rank, over):
    """Mann-Whitney, ties counted half."""
    order = np.sort(rank)
    low, high = np.searchsorted(order, rank, "left"), np.searchsorted(order, rank, "right")
    ranks = (low + high + 1) / 2
    hot = over.sum()
    return (ranks[over].sum() - hot * (hot + 1) / 2) / (hot * (len(rank) - hot))


def caught(rank, over):
    top = np.argsort(-rank, kind="stable")[: int(round(0.2 * len(rank)))]
    return over[top].sum() / over.sum()


def true_heading(field, grid_heading):
    """Grid north lies east of true north by the meridian convergence, atan(tan(dlon) sin(lat)) (Snyder 1987)."""
    ring = json.loads(field.read_text())["features"][0]["geometry"]["coordinates"][0]
    longitude, latitude = np.mean(ring[:-1], axis=0)
    middle = math.floor(longitude / 6) * 6 + 3
    turn = math.degrees(math.atan(math.tan(math.radians(longitude - middle)) * math.sin(math.radians(latitude))))
    return (grid_heading + turn) % 360


def run(program, folder, out, threshold, heading, options):
    command = [program, "map", str(folder / "points.geojson"), "--field", str(folder / "field.geojson"), "--hits", "infected",
               "--checked", "checked", "--threshold", repr(threshold), "--out", str(out), "--quiet", *options]
    if heading is not None:
        command += ["--row-heading", repr(heading)]
    subprocess.run(command, check=True)


def score_field(program, folder, options, work):
    meta = json.loads((folder / "meta.json").read_text())
    threshold = 100 * meta["threshold"]
    heading = true_heading(folder / "field.geojson", meta["row_heading_deg"])
    run(program, folder, work / "map", threshold, heading, options)
    run(program, folder, work / "idw", threshold, None, ["--surface", "idw", "--neighbors", "0"])
    truth, frame = read(folder / "truth.tif")
    rows, columns = np.nonzero(np.isfinite(truth) & (truth >= 0))
    east, north = frame[0] + (columns + 0.5) * frame[1], frame[3] + (rows + 0.5) * frame[5]
    truth = truth[rows, columns]
    over = truth >= meta["threshold"]
    layer = {name: sample(work / "map" / f"{name}.tif", east, north) for name in ("severity", "low", "high", "chance")}
    plain = sample(work / "idw" / "severity.tif", east, north)
    known = np.isfinite(layer["severity"]) & np.isfinite(plain)
    if known.mean() < 0.999:
        sys.exit(f"{folder.name}: {100 * (1 - known.mean()):.1f} % of the truth lies outside the map")
    truth, over, plain = truth[known], over[known], plain[known]
    layer = {name: values[known] for name, values in layer.items()}
    chance = layer["chance"]
    classes = np.minimum(9, (chance * 10).astype(int))
    return {
        "rmse": np.sqrt(np.mean((layer["severity"] / 100 - truth) ** 2)),
        "rmse_idw": np.sqrt(np.mean((plain / 100 - truth) ** 2)),
        "auc": area_under_curve(chance, over),
        "auc_idw": area_under_curve(plain, over),
        "caught": caught(chance, over),
        "brier": np.mean((chance - over) ** 2),
        "coverage": np.mean((truth >= layer["low"] / 100) & (truth <= layer["high"] / 100)),
        "classes": np.array([[(classes == k).sum(), chance[classes == k].sum(), over[classes == k].sum()]
                             for k in range(10)]),
    }


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("fields", type=Path)
    parser.add_argument("--options", default="", help="further options for map")
    parser.add_argument("--only", help="one field's name")
    given = parser.parse_args()
    folders = sorted(f for f in given.fields.iterdir() if (f / "truth.tif").exists() and given.only in (None, f.name))
    if not folders:
        sys.exit(f"{given.fields}: no folder with a truth.tif")
    scores = []
    print(f"{'field':<10} {'RMSE':>7} {'ratio':>7} {'AUC':>7} {'dAUC':>8} {'top 20':>7} {'Brier':>7} {'cover':>6}")
    for folder in folders:
        with tempfile.TemporaryDirectory() as work:
            s = score_field(given.program, folder, shlex.split(given.options), Path(work))
        scores.append(s)
        print(f"{folder.name:<10} {s['rmse']:7.4f} {s['rmse'] / s['rmse_idw']:7.4f} {s['auc']:7.4f} "
              f"{s['auc'] - s['auc_idw']:+8.4f} {s['caught']:7.4f} {s['brier']:7.4f} {s['coverage']:6.3f}", flush=True)
    classes = sum(s["classes"] for s in scores)
    print(f"\n{len(scores)} fields")
    print(f"RMSE ratio to inverse distance (geometric mean) {math.exp(np.mean([math.log(s['rmse'] / s['rmse_idw']) for s in scores])):.4f}")
    print(f"AUC {np.mean([s['auc'] for s in scores]):.4f}, less inverse distance {np.mean([s['auc'] - s['auc_idw'] for s in scores]):+.4f}")
    print(f"caught in the top 20 % {np.mean([s['caught'] for s in scores]):.4f}")
    print(f"Brier {np.mean([s['brier'] for s in scores]):.4f}")
    print(f"coverage of the 90 % bounds {np.mean([s['coverage'] for s in scores]):.4f}")
    print(f"calibration error {np.abs(classes[:, 1] - classes[:, 2]).sum() / classes[:, 0].sum():.4f}")


if __name__ == "__main__":
    main()

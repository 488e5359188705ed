#!/usr/bin/python3
"""Does a plan keep what it promises? Runs `fieldfoci plan` and `fieldfoci map` over invented fields.

    scripts/score_plan.py PROGRAM [--fields 200] [--seed 1] [--theta 0.1] [--gaps 0] [--check]

Patches: each field (a rectangle, an L, a slanted one) is planned with 30 to 90 stops; the plan names the patch that is
found with a chance of 50, 70 or 90 percent. One such patch is put anywhere in the field: 30 percent of the units are
infected in it, 1 percent elsewhere, both with the beta-binomial theta that --theta names. The stops are read, mapped with a threshold
of 10 percent, and the patch counts as found where the map marks ground in it to treat, or to dig and look. Hit rates
stand beside the promises; --check fails where all fields together are more than three standard errors below theirs.

Gaps (--gaps N fields): the truth is a Gaussian field on the logit scale, mean -2.6, deviation 1.2, exponential with a
practical range of 90 to 240 m. A grid of 60 stops against 36 stops of a grid and 24 more where the map of these is least
certain; each of 20 units, with the same theta (0: the binomial alone). Scores, of the final maps: change of RMSE of the share infected (percent of that of the grid),
and of the area on the wrong side of the threshold at a chance of one half (percentage points).
Needs Debian's python3-numpy and python3-gdal.
"""
import argparse
import csv
import json
import math
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from osgeo import gdal, ogr, osr

gdal.UseExceptions()
ogr.UseExceptions()
osr.UseExceptions()

UNITS, THRESHOLD = 20, 10
SYSTEM = "EPSG:32616"
WEST, SOUTH = 720000, 3480000


def outline(draws):
    """Corners in meters of the work system."""
    width, height = draws.uniform(220, 520, 2)
    shapes = [
        [(0, 0), (width, 0), (width, height), (0, height)],
        [(0, 0), (width, 0), (width, height / 2), (width / 2, height / 2), (width / 2, height), (0, height)],
        [(0, 0), (width, 0), (1.2 * width, height), (0.2 * width, height)],
    ]
    return [(WEST + x, SOUTH + y) for x, y in shapes[draws.integers(3)]]


def to_degrees():
    plane, degrees = osr.SpatialReference(), osr.SpatialReference()
    plane.ImportFromEPSG(int(SYSTEM.split(":")[1]))
    degrees.ImportFromEPSG(4326)
    degrees.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    plane.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    return osr.CoordinateTransformation(plane, degrees), osr.CoordinateTransformation(degrees, plane)


TO_DEGREES, TO_PLANE = to_degrees()


def polygon(points):
    ring = ogr.Geometry(ogr.wkbLinearRing)
    for x, y in [*points, points[0]]:
        ring.AddPoint_2D(float(x), float(y))
    shape = ogr.Geometry(ogr.wkbPolygon)
    shape.AddGeometry(ring)
    return shape


def write_field(path, points):
    corners = [list(TO_DEGREES.TransformPoint(x, y)[:2]) for x, y in [*points, points[0]]]
    feature = {"type": "Feature", "properties": {"name": "invented"},
               "geometry": {"type": "Polygon", "coordinates": [corners]}}
    path.write_text(json.dumps({"type": "FeatureCollection", "features": [feature]}))


def run(program, *words):
    done = subprocess.run([program, *map(str, words), "--quiet"], capture_output=True, text=True,
                          env={**os.environ, "OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"})
    if done.returncode:
        sys.exit(f"{words[0]}: {done.stderr}")
    return done.stdout


def plan(program, folder, name, *words):
    out = folder / f"{name}.csv"
    said = run(program, "plan", "--hits", "hits", "--checked", UNITS, "--json", "--out", out, *words)
    return json.loads(said), list(csv.DictReader(out.open()))


def fill(rows, share_at, theta, draws):
    """Types in what is found; share_at: true shares at places (meters)."""
    places = np.array([TO_PLANE.TransformPoint(float(row["lon"]), float(row["lat"]))[:2] for row in rows])
    share = share_at(places)
    if theta > 0:
        share = draws.beta(share / theta, (1 - share) / theta)
    for row, hits in zip(rows, draws.binomial(UNITS, share)):
        row["hits"] = hits


def map_stops(program, folder, name, rows):
    stops, out = folder / f"{name}-stops.csv", folder / name
    with stops.open("w", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    run(program, "map", stops, "--field", folder / "field.geojson", "--hits", "hits", "--checked", UNITS, "--id", "stop",
        "--threshold", THRESHOLD, "--season", "2031", "--digs", 0, "--threads", 1, "--work-crs", SYSTEM, "--out", out)
    return out


def is_marked(survey, patch):
    """Whether the map marks ground of the patch to treat, or to dig and look."""
    data = ogr.Open(str(survey / "survey.gpkg"))
    for zone in data.GetLayerByName("zones"):
        if zone["zone"] in ("treat", "dig") and zone.GetGeometryRef():
            shape = zone.GetGeometryRef().Clone()
            shape.Transform(TO_PLANE)
            if shape.Intersects(patch):
                return True
    return False


def one_patch(program, draws, wanted, theta):
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        points = outline(draws)
        field = polygon(points)
        write_field(folder / "field.geojson", points)
        said, rows = plan(program, folder, "plan", "--field", folder / "field.geojson", "--threshold", THRESHOLD,
                          "--stops", draws.integers(30, 91), "--chance", wanted, "--aggregation", theta,
                          "--seed", draws.integers(1, 100000))
        area = said["detection"]["found_ha"]
        if area is None:
            return None
        box = field.GetEnvelope()
        while True:
            middle = draws.uniform(box[0], box[1]), draws.uniform(box[2], box[3])
            spot = ogr.Geometry(ogr.wkbPoint)
            spot.AddPoint_2D(*middle)
            if field.Contains(spot):
                break
        radius = math.sqrt(10000 * area / math.pi)
        inside = said["detection"]["share_in_patch"] / 100
        fill(rows, lambda p: np.where(np.hypot(p[:, 0] - middle[0], p[:, 1] - middle[1]) <= radius, inside, 0.01), theta,
             draws)
        return is_marked(map_stops(program, folder, "survey", rows), spot.Buffer(radius, 24))


def score_patches(program, fields, seed, theta):
    draws = np.random.default_rng(seed)
    chances = (0.5, 0.7, 0.9)
    found = {chance: [] for chance in chances}
    for i in range(fields):
        answer = one_patch(program, draws, chances[i % len(chances)], theta)
        if answer is not None:
            found[chances[i % len(chances)]].append(answer)
    print("| promised | fields | found | standard error |\n|---|---|---|---|")
    short, variance = 0, 0
    for chance in chances:
        n = len(found[chance])
        if n:
            rate, error = np.mean(found[chance]), math.sqrt(chance * (1 - chance) / n)
            short += n * (chance - rate)
            variance += n * chance * (1 - chance)
            print(f"| {chance:.2f} | {n} | {rate:.3f} | {error:.3f} |")
    return short <= 3 * math.sqrt(variance)


def gaussian_truth(points, draws):
    """Cells of 10 m inside the field, their logits."""
    field = polygon(points)
    box = field.GetEnvelope()
    cells = []
    for x in np.arange(box[0] + 5, box[1], 10):
        for y in np.arange(box[2] + 5, box[3], 10):
            spot = ogr.Geometry(ogr.wkbPoint)
            spot.AddPoint_2D(float(x), float(y))
            if field.Contains(spot):
                cells.append((x, y))
    cells = np.array(cells)
    apart = np.hypot(cells[:, None, 0] - cells[None, :, 0], cells[:, None, 1] - cells[None, :, 1])
    root = np.linalg.cholesky(np.exp(-3 * apart / draws.uniform(90, 240)) + 1e-9 * np.eye(len(cells)))
    return cells, -2.6 + 1.2 * root @ draws.standard_normal(len(cells))


def raster_at(path, cells):
    data = gdal.Open(str(path))
    frame, layer = data.GetGeoTransform(), data.ReadAsArray().astype(float)
    column = np.floor((cells[:, 0] - frame[0]) / frame[1]).astype(int)
    row = np.floor((cells[:, 1] - frame[3]) / frame[5]).astype(int)
    return layer[np.clip(row, 0, layer.shape[0] - 1), np.clip(column, 0, layer.shape[1] - 1)]


def errors(survey, cells, share):
    estimate, chance = (raster_at(survey / f"{name}.tif", cells) for name in ("severity", "chance"))
    known = np.isfinite(estimate)
    wrong = (chance[known] >= 0.5) != (100 * share[known] >= THRESHOLD)
    return math.sqrt(np.mean((estimate[known] - 100 * share[known]) ** 2)), 100 * np.mean(wrong)


def one_of_gaps(program, draws, theta):
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        points = outline(draws)
        write_field(folder / "field.geojson", points)
        cells, logit = gaussian_truth(points, draws)
        share = 1 / (1 + np.exp(-logit))
        field = ("--field", folder / "field.geojson", "--threshold", THRESHOLD, "--work-crs", SYSTEM, "--season", "2031")

        def share_at(places):
            near = np.argmin(np.hypot(places[:, None, 0] - cells[None, :, 0], places[:, None, 1] - cells[None, :, 1]), 1)
            return share[near]

        seed = draws.integers(1, 100000)
        _, grid = plan(program, folder, "grid", *field, "--stops", 60, "--seed", seed)
        _, first = plan(program, folder, "first", *field, "--stops", 36, "--seed", seed)
        fill(grid, share_at, theta, draws)
        fill(first, share_at, theta, draws)
        earlier = map_stops(program, folder, "first-map", first)
        _, more = plan(program, folder, "more", *field, "--stops", 24, "--pattern", "gaps", "--earlier", earlier)
        fill(more, share_at, theta, draws)
        for i, row in enumerate(more):
            row["stop"] = f"G{i + 1}"
        return (errors(map_stops(program, folder, "grid-map", grid), cells, share)
                + errors(map_stops(program, folder, "gaps-map", first + more), cells, share))


def score_gaps(program, fields, seed, theta):
    draws = np.random.default_rng(seed)
    all_of_them = np.array([one_of_gaps(program, draws, theta) for _ in range(fields)])
    rmse = 100 * (all_of_them[:, 2] / all_of_them[:, 0] - 1)
    wrong = all_of_them[:, 3] - all_of_them[:, 1]
    root = math.sqrt(fields)
    print("| | grid of 60 | 36 and 24 in the gaps | change | standard error |\n|---|---|---|---|---|")
    print(f"| RMSE, points | {all_of_them[:, 0].mean():.2f} | {all_of_them[:, 2].mean():.2f} | {rmse.mean():+.1f} % | "
          f"{rmse.std(ddof=1) / root:.1f} |")
    print(f"| misclassified, % of the field | {all_of_them[:, 1].mean():.1f} | {all_of_them[:, 3].mean():.1f} | "
          f"{wrong.mean():+.2f} points | {wrong.std(ddof=1) / root:.2f} |")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--fields", type=int, default=200)
    parser.add_argument("--gaps", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--theta", type=float, default=0.1)
    parser.add_argument("--check", action="store_true")
    asked = parser.parse_args()
    kept = score_patches(asked.program, asked.fields, asked.seed, asked.theta) if asked.fields else True
    if asked.gaps > 1:
        score_gaps(asked.program, asked.gaps, asked.seed, asked.theta)
    return 1 if asked.check and not kept else 0


if __name__ == "__main__":
    sys.exit(main())

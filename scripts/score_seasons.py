#!/usr/bin/python3
"""Does a comparison of two seasons keep its word? Invents pairs of seasons with known truth and runs `map`, `map` and
`seasons` on each.

    scripts/score_seasons.py PROGRAM FIELDS [--rho R] [--pairs N] [--same-stops] [--seed S] [--jobs J]

FIELDS as for scripts/score_fields.py; of each field only the outline (where truth.tif has a value), the covariance, the
number of stops and the plants checked are taken (meta.json). The logit of the true share in season s is
mu_s + sigma (sqrt(R) Z0 + sqrt(1 - R) Z_s): the share R of the variation persists. Season B's mean is shifted by a normal
number of deviation 0.3. Stops: a square grid along the rows with a random start, moved by up to a quarter of its spacing,
anew for each season unless --same-stops. Threshold: passed by 12 % of season A's area. The seasons' own surfaces play no part in the
comparison, so they are made by inverse distance, which is quick.

Prints, for all pairs and for those with a season in doubt, how often P was at most 0.01, 0.05, 0.10, and how often the 90 % intervals of
the areas held the truth, each with its standard error. Needs Debian's python3-numpy and python3-gdal.
"""
import argparse
import csv
import json
import math
import os
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent))
from score_fields import read, true_heading  # noqa: E402


def correlation(distance, meta):
    if meta["covariance"].startswith("exp"):
        return np.exp(-distance / meta["range_m"])
    q = math.sqrt(3) * distance / meta["range_m"]
    return (1 + q) * np.exp(-q)


def torus(meta, shape, cell):
    """Square roots of the eigenvalues of the covariance on a torus of twice the field's size (Dietrich & Newsam 1997)."""
    size = 1 << max(10, math.ceil(math.log2(2 * max(shape))))
    lag = np.r_[0 : size // 2 + 1, -np.arange(size // 2 - 1, 0, -1)] * cell
    north, east = np.meshgrid(-lag, lag, indexing="ij")
    heading = math.radians(meta["row_heading_deg"])
    along = east * math.sin(heading) + north * math.cos(heading)
    across = east * math.cos(heading) - north * math.sin(heading)
    eigenvalues = np.fft.fft2(correlation(np.hypot(along, meta["ratio"] * across), meta)).real
    return np.sqrt(np.maximum(eigenvalues, 0) / size**2)


def draw_field(random, roots, shape):
    noise = random.standard_normal(roots.shape) + 1j * random.standard_normal(roots.shape)
    return np.fft.fft2(roots * noise).real[: shape[0], : shape[1]]


def draw_stops(random, inside, frame, count, heading):
    """Cells of a jittered grid along the rows: rows and columns of the truth."""
    rows, columns = np.nonzero(inside)
    cell = frame[1]
    east, north = (columns + 0.5) * cell, -(rows + 0.5) * cell
    sine, cosine = math.sin(math.radians(heading)), math.cos(math.radians(heading))
    spacing = math.sqrt(len(rows) * cell**2 / count)
    for _ in range(25):
        start = random.random(2) * spacing
        u, v = east * sine + north * cosine, east * cosine - north * sine
        lanes = np.arange(v.min() + start[0] - spacing, v.max() + spacing, spacing)
        steps = np.arange(u.min() + start[1] - spacing, u.max() + spacing, spacing)
        grid_v, grid_u = (m.ravel() for m in np.meshgrid(lanes, steps))
        grid_v = grid_v + random.uniform(-0.25, 0.25, grid_v.shape) * spacing
        grid_u = grid_u + random.uniform(-0.25, 0.25, grid_u.shape) * spacing
        x, y = grid_u * sine + grid_v * cosine, grid_u * cosine - grid_v * sine
        column, row = np.floor(x / cell).astype(int), np.floor(-y / cell).astype(int)
        known = (row >= 0) & (row < inside.shape[0]) & (column >= 0) & (column < inside.shape[1])
        row, column = row[known], column[known]
        known = inside[row, column]
        places = sorted(set(zip(row[known].tolist(), column[known].tolist())))
        if len(places) == count:
            break
        spacing *= (max(len(places), 1) / count) ** 0.35
    return np.array(places)


def write_stops(path, places, frame, checked, hits):
    with open(path, "w", newline="") as file:
        out = csv.writer(file)
        out.writerow(["x", "y", "checked", "hits"])
        for (row, column), n, y in zip(places, checked, hits):
            out.writerow([frame[0] + (column + 0.5) * frame[1], frame[3] + (row + 0.5) * frame[5], n, y])


def run(command):
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{' '.join(command)}: {done.stderr}")


def score_pair(given, folder, number, work):
    random = np.random.default_rng([given.seed, number, round(given.rho * 100)])
    meta = json.loads((folder / "meta.json").read_text())
    truth, frame = read(folder / "truth.tif")
    inside = np.isfinite(truth) & (truth >= 0)
    roots = torus(meta, truth.shape, frame[1])
    common = draw_field(random, roots, truth.shape)
    shares = []
    for season in range(2):
        own = draw_field(random, roots, truth.shape)
        latent = math.sqrt(given.rho) * common + math.sqrt(1 - given.rho) * own
        mean = meta["mu"] + (random.normal(0, 0.3) if season else 0)
        shares.append(1 / (1 + np.exp(-(mean + meta["sigma"] * latent))))
    threshold = 100 * np.quantile(shares[0][inside], 0.88)
    heading = true_heading(folder / "field.geojson", meta["row_heading_deg"])
    plants = int(np.mean(meta["checked_n"]))
    places = None
    for season, share in enumerate(shares):
        if places is None or not given.same_stops:
            places = draw_stops(random, inside, frame, meta["stops"], meta["row_heading_deg"])
        checked = np.full(len(places), plants)
        hits = random.binomial(checked, share[places[:, 0], places[:, 1]])
        write_stops(work / f"{season}.csv", places, frame, checked, hits)
        run([given.program, "map", str(work / f"{season}.csv"), "--crs", meta["crs"], "--field", str(folder / "field.geojson"),
             "--hits", "hits", "--checked", "checked", "--threshold", f"{threshold:.6g}", "--row-heading", f"{heading:.6f}",
             "--season", str(2001 + season), "--surface", "idw", "--cell", "8", "--digs", "1", "--threads", "1", "--out", str(work / f"s{season}"),
             "--quiet"])
    run([given.program, "seasons", str(work / "s0"), str(work / "s1"), "--out", str(work / "both"), "--cell", "8", "--threads",
         "1", "--quiet"])
    told = json.loads((work / "both" / "seasons.json").read_text())
    hot = [100 * share[inside] >= threshold for share in shares]
    hectares = told["field"]["area_ha"] / inside.sum()
    true = {"always": (hot[0] & hot[1]).sum(), "gone": (hot[0] & ~hot[1]).sum(), "new": (~hot[0] & hot[1]).sum(),
            "first season": hot[0].sum(), "second season": hot[1].sum()}
    return told, {name: cells * hectares for name, cells in true.items()}


def intervals(told):
    areas = {name: told["classes"][name]["area_ha"] for name in ("always", "gone", "new")}
    areas["first season"], areas["second season"] = (season["hot_ha"] for season in told["seasons"])
    return areas


def share(hits, of):
    if of == 0:
        return "-"
    p = hits / of
    return f"{p:.3f} (se {math.sqrt(max(p * (1 - p), 0) / of):.3f})"


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("fields", type=Path)
    parser.add_argument("--rho", type=float, default=0)
    parser.add_argument("--pairs", type=int, default=300)
    parser.add_argument("--same-stops", action="store_true")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=os.cpu_count())
    given = parser.parse_args()
    folders = sorted(f for f in given.fields.iterdir() if (f / "truth.tif").exists())
    if not folders:
        sys.exit(f"{given.fields}: no folder with a truth.tif")

    def one(number):
        with tempfile.TemporaryDirectory() as work:
            return score_pair(given, folders[number % len(folders)], number, Path(work))

    with ThreadPoolExecutor(given.jobs) as pool:
        results = list(pool.map(one, range(given.pairs)))
    print(f"rho {given.rho:g}: {given.pairs} pairs")
    tell("all pairs", results)
    doubtful = [pair for pair in results if any(season["pattern"] != "patchy" for season in pair[0]["seasons"])]
    tell("of these, a season in doubt (not patchy by itself)", doubtful)


def tell(title, results):
    tested = [(told, true) for told, true in results if told["pairs"][0]["both_ha"] is not None]
    print(f"{title}: {len(results)}, with areas {len(tested)}")
    if not tested:
        return
    cold = sum(told["pairs"][0]["verdict"] == "not hot anywhere" for told, _ in results)
    print(f"  not hot anywhere: {share(cold, len(results))}")
    for level in (0.01, 0.05, 0.10):
        rejected = sum(told["pairs"][0]["overlap_p"] <= level for told, _ in results)
        print(f"  P at most {level:.2f}: {share(rejected, len(results))}")
    print(f"  rho estimated, mean {np.mean([told['pairs'][0]['persistence'] for told, _ in tested]):.2f}")
    for name in ("always", "gone", "new", "first season", "second season"):
        held, truths, expected = 0, [], []
        for told, true in tested:
            mean, low, high = intervals(told)[name]
            held += low <= true[name] <= high
            truths.append(true[name])
            expected.append(mean)
        print(f"  {name}: truth {np.mean(truths):.2f} ha, expected {np.mean(expected):.2f} ha, 90 % interval held it in "
              f"{share(held, len(tested))}")


if __name__ == "__main__":
    main()

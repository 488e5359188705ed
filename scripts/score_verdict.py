#!/usr/bin/python3
"""How often is a verdict right? Invents fields with and without patches, asks `fieldfoci pattern` about each, and counts.

    scripts/score_verdict.py PROGRAM [--fields N] [--seed S] [--jobs J] [--rows FILE] [--surface METHOD] [--scores]

Three kinds of field, N of each, 15 to 40 ha, 40 to 150 stops (a jittered square grid or a zigzag), 20 to 100 plants
looked at a stop, mean 2 to 15 %:
  patches    the logit of the share infected is a Gaussian field of deviation 0.8 to 1.5, exponential or Matern 3/2 with a
             range parameter of 25 to 120 m; in every second field drawn out 2 to 4 times along the rows
  even       the same share everywhere, binomial counts
  clustered  the same share everywhere, counts with a within-stop correlation of .05 (beta-binomial)
With --scores the readings are scores instead: 3 + 2 x the Gaussian field with as much noise, half of the fields skewed (exp of
half of it); 'even' and 'clustered' are then normal and lognormal noise alone.

Prints the share of each verdict by kind, with its standard error, and for a range of limits how often the posterior weight
of no pattern and the p of the permutation test are below them. Needs Debian's python3-numpy.
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

CELL = 4.0  # metres, of the invented truth
KINDS = ("patches", "even", "clustered")
VERDICTS = ("patchy", "unclear", "no pattern found")


def gaussian_field(random, size, matern, reach, heading, ratio):
    """One draw on a torus of at least twice the field's size (Dietrich & Newsam 1997), deviation 1."""
    m = 1 << math.ceil(math.log2(2 * max(size)))
    lag = np.r_[0 : m // 2 + 1, -np.arange(m // 2 - 1, 0, -1)] * CELL
    east, north = np.meshgrid(lag, lag, indexing="ij")
    along = east * math.sin(heading) + north * math.cos(heading)
    across = east * math.cos(heading) - north * math.sin(heading)
    h = np.hypot(along, ratio * across) / reach
    likeness = (1 + math.sqrt(3) * h) * np.exp(-math.sqrt(3) * h) if matern else np.exp(-h)
    roots = np.sqrt(np.maximum(np.fft.fft2(likeness).real, 0)) / m
    noise = random.standard_normal((m, m)) + 1j * random.standard_normal((m, m))
    return np.fft.fft2(roots * noise).real[: size[0], : size[1]]


def outline(random, hectares):
    """Whether each cell lies in an ellipse-like field with a straightened, uneven edge."""
    stretch = random.uniform(1, 1.8)
    side = math.sqrt(hectares * 1e4 * 1.3)
    size = (math.ceil(side * math.sqrt(stretch) / CELL), math.ceil(side / math.sqrt(stretch) / CELL))
    x, y = np.meshgrid(*(np.linspace(-1, 1, n) for n in size), indexing="ij")
    power, turn = random.uniform(2, 5), random.uniform(0, 2 * math.pi)
    bay = 0.2 * np.cos(3 * np.arctan2(y, x) + turn)
    return np.abs(x) ** power + np.abs(y) ** power <= (0.95 + bay * random.random()) ** power


def place_stops(random, inside, count, heading):
    """Cells of a jittered grid along the rows or of a zigzag across them."""
    columns, rows = np.nonzero(inside)
    east, north = columns * CELL, rows * CELL
    u = east * math.sin(heading) + north * math.cos(heading)
    v = east * math.cos(heading) - north * math.sin(heading)
    if random.random() < 0.5:
        spacing = math.sqrt(len(rows) * CELL**2 / count)
        steps = np.arange(u.min() + random.random() * spacing, u.max(), spacing)
        lanes = np.arange(v.min() + random.random() * spacing, v.max(), spacing)
        wanted = np.array([(a, b) for a in steps for b in lanes]) + random.uniform(-0.3, 0.3, (len(steps) * len(lanes), 2)) * spacing
    else:
        legs = random.integers(7, 13)
        t = np.linspace(0, legs, 3 * count)
        swing = np.abs((t + 1) % 2 - 1)
        wanted = np.c_[u.min() + swing * (u.max() - u.min()), v.min() + t / legs * (v.max() - v.min())]
        wanted = wanted + random.normal(0, 2, wanted.shape)
    x = wanted[:, 0] * math.sin(heading) + wanted[:, 1] * math.cos(heading)
    y = wanted[:, 0] * math.cos(heading) - wanted[:, 1] * math.sin(heading)
    column, row = np.round(x / CELL).astype(int), np.round(y / CELL).astype(int)
    known = (column >= 0) & (column < inside.shape[0]) & (row >= 0) & (row < inside.shape[1])
    column, row = column[known], row[known]
    known = inside[column, row]
    places = np.unique(np.c_[column[known], row[known]], axis=0)
    if len(places) > count:
        places = places[np.round(np.linspace(0, len(places) - 1, count)).astype(int)]
    return places


def invent(random, kind, number, scores):
    """Places, readings, numbers looked at (None for scores), row heading in degrees."""
    heading_degrees = random.uniform(0, 180)
    heading = math.radians(heading_degrees)
    ratio = random.uniform(2, 4) if number % 2 else 1.0
    reach = math.exp(random.uniform(math.log(50 if number % 2 else 25), math.log(120)))
    mean, deviation = math.exp(random.uniform(math.log(0.02), math.log(0.15))), random.uniform(0.8, 1.5)
    inside = outline(random, random.uniform(15, 40))
    places = place_stops(random, inside, random.integers(40, 151), heading)
    field = gaussian_field(random, inside.shape, number % 4 > 1, reach, heading, ratio)
    at = field[places[:, 0], places[:, 1]]
    if scores:
        noise = random.standard_normal(len(at))
        value = 3 + 2 * (0.7 * at + 0.7 * noise if kind == "patches" else noise)
        skewed = kind == "clustered" or (kind == "patches" and number % 3 == 0)
        return places, np.exp(value / 2) if skewed else value + 10, None, heading_degrees
    checked = np.full(len(at), random.choice([20, 25, 30, 40, 50, 60, 80, 100]))
    if random.random() < 0.3:
        checked = np.clip(np.round(checked * random.uniform(0.75, 1.25, len(at))), 20, 100).astype(int)
    share = np.full(len(at), mean)
    if kind == "patches":
        low, high = -15.0, 15.0
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if (1 / (1 + np.exp(-middle - deviation * field[inside]))).mean() < mean else (low, middle)
        share = 1 / (1 + np.exp(-middle - deviation * at))
    elif kind == "clustered":
        both = 1 / 0.05 - 1
        share = random.beta(mean * both, (1 - mean) * both, len(at))
    return places, random.binomial(checked, share), checked, heading_degrees


def ask(given, kind, number):
    random = np.random.default_rng([given.seed, KINDS.index(kind), number])
    places, readings, checked, heading = invent(random, kind, number, given.scores)
    with tempfile.TemporaryDirectory() as work:
        path = Path(work) / "stops.csv"
        with open(path, "w", newline="") as file:
            out = csv.writer(file)
            out.writerow(["x", "y", "reading", "checked"])
            for i, (column, row) in enumerate(places):
                out.writerow([500000 + column * CELL, 3600000 + row * CELL, readings[i], "" if checked is None else checked[i]])
        reading = ["--value", "reading"] if checked is None else ["--hits", "reading", "--checked", "checked"]
        command = [given.program, "pattern", str(path), "--crs", "EPSG:32631", *reading, "--row-heading", f"{heading:.3f}",
                   "--work-crs", "EPSG:32631", "--threads", "1", "--json", "--quiet", "--seed", str(number + 1)]
        if given.surface:
            command += ["--surface", given.surface]
        done = subprocess.run(command, capture_output=True, text=True)
        if done.returncode != 0:
            sys.exit(f"{' '.join(command)}: {done.stderr}")
    told = json.loads(done.stdout)["pattern"]
    return {"kind": kind, "number": number, "stops": len(places), "verdict": told["verdict"],
            "weight": told["no_pattern_weight"], "p": told["likeness_p"], "moran_p": told["moran_permuted_p"],
            "transport_p": told["transport_p"]}


def share(hits, of):
    p = hits / of
    return f"{100 * p:5.1f} (se {100 * math.sqrt(p * (1 - p) / of):.1f})"


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("--fields", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=os.cpu_count())
    parser.add_argument("--rows", type=Path, help="every field's numbers as JSON")
    parser.add_argument("--surface")
    parser.add_argument("--scores", action="store_true")
    given = parser.parse_args()
    with ThreadPoolExecutor(given.jobs) as pool:
        rows = list(pool.map(lambda task: ask(given, *task), [(k, i) for k in KINDS for i in range(given.fields)]))
    if given.rows:
        given.rows.write_text(json.dumps(rows))
    for kind in KINDS:
        own = [row for row in rows if row["kind"] == kind]
        print(f"{kind}: " + ", ".join(f"{v} {share(sum(r['verdict'] == v for r in own), len(own))} %" for v in VERDICTS))
        old = sum(min(r["moran_p"], r["transport_p"] or 1) <= 0.05 for r in own)
        print(f"  either of Moran's I and the transport index at 5 %: {share(old, len(own))} %")
        for limit in (0.01, 0.05, 0.07, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9):
            weights = sum((r["weight"] if r["weight"] is not None else 2) <= limit for r in own)
            print(f"  up to {limit:4.2f}: weight {share(weights, len(own))} %, p {share(sum(r['p'] <= limit for r in own), len(own))} %")


if __name__ == "__main__":
    main()

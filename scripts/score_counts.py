#!/usr/bin/python3
"""How well are counts predicted where nobody looked? Log score of counts that were kept back.

    scripts/score_counts.py PROGRAM KEPT REST HITS CHECKED [further options of estimate ...]

KEPT and REST are files of stops (CSV). Estimates the true share at REST's places from KEPT, matches a beta distribution
to `estimate` and `variance` of each place, and prints the mean log probability of REST's counts under the beta-binomial;
beside it that of one beta-binomial for all, fitted to KEPT by maximum likelihood. Higher is better. Needs python3 alone.
"""
import csv
import math
import subprocess
import sys
import tempfile
from pathlib import Path


def log_choose(n, y):
    return math.lgamma(n + 1) - math.lgamma(y + 1) - math.lgamma(n - y + 1)


def log_beta(a, b):
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def beta_binomial(y, n, a, b):
    return log_choose(n, y) + log_beta(y + a, n - y + b) - log_beta(a, b)


def matched(mean, variance):
    mean = min(max(mean, 1e-9), 1 - 1e-9)
    size = max(mean * (1 - mean) / max(variance, 1e-12) - 1, 1e-6)
    return mean * size, (1 - mean) * size


def constant(counts):
    """Maximum likelihood on a grid that is made finer three times."""
    best, middle, wide = None, (math.log(0.1 / 0.9), 0.0), (4.0, 5.0)
    for _ in range(4):
        for i in range(-20, 21):
            for j in range(-20, 21):
                logit, log_size = middle[0] + wide[0] * i / 20, middle[1] + wide[1] * j / 20
                mean, size = 1 / (1 + math.exp(-logit)), math.exp(log_size)
                value = sum(beta_binomial(y, n, mean * size, (1 - mean) * size) for y, n in counts)
                if best is None or value > best[0]:
                    best = value, logit, log_size
        middle, wide = best[1:], (wide[0] / 8, wide[1] / 8)
    mean, size = 1 / (1 + math.exp(-best[1])), math.exp(best[2])
    return mean * size, (1 - mean) * size


def read(path, hits, checked):
    with open(path, newline="") as file:
        return [(int(row[hits]), int(row[checked])) for row in csv.DictReader(file)]


def main():
    if len(sys.argv) < 6:
        sys.exit(__doc__)
    program, kept, rest, hits, checked, *options = sys.argv[1:]
    with tempfile.TemporaryDirectory() as work:
        out = Path(work) / "estimates.csv"
        subprocess.run([program, "estimate", kept, "--hits", hits, "--checked", checked, "--at", rest, "--out", str(out),
                        "--quiet", *options], check=True)
        with open(out, newline="") as file:
            told = [(float(row["estimate"]) / 100, float(row["variance"]) / 1e4) for row in csv.DictReader(file)]
    counts = read(rest, hits, checked)
    one = constant(read(kept, hits, checked))
    print(f"{len(counts)} counts kept back")
    print(f"log score of the surface            {sum(beta_binomial(y, n, *matched(*t)) for (y, n), t in zip(counts, told)) / len(counts):.4f}")
    print(f"log score of one beta-binomial      {sum(beta_binomial(y, n, *one) for y, n in counts) / len(counts):.4f}")


if __name__ == "__main__":
    main()

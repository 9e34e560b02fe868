#!/usr/bin/env python3
"""One bounded solve beside scipy.optimize.lsq_linear(method="bvls") of the same problem, both in this run.

    lsq_compare.py LSQ_LINES [COUNT]

Prints, for each size, the two medians, their ratio, and the quartiles of the ratio problem by problem. scipy's time is
that of the whole call from Python, the best of three, which is what a program that uses it pays.
"""
import json
import random
import subprocess
import sys
import time

import numpy as np
from scipy.optimize import lsq_linear

SIZES = (2, 2), (6, 4), (10, 8), (10, 10), (16, 16)


def problem(dice, rows, parts):
    a = [[dice.random() for _ in range(parts)] for _ in range(rows)]
    upper = [1 + dice.random() for _ in range(parts)]
    x = [min(max(2.4 * dice.random() - 0.4, 0), top) for top in upper]
    b = [sum(p * q for p, q in zip(row, x)) + dice.gauss(0, 0.3) for row in a]
    return {"A": a, "b": b, "lb": [0] * parts, "ub": upper}


def seconds(p):
    a, b, bounds = np.array(p["A"]), np.array(p["b"]), (np.array(p["lb"], float), np.array(p["ub"]))
    taken = []
    for _ in range(3):
        begin = time.perf_counter()
        lsq_linear(a, b, bounds, method="bvls")
        taken.append(time.perf_counter() - begin)
    return min(taken)


def main(program, count):
    dice = random.Random(1)
    for rows, parts in SIZES:
        problems = [problem(dice, rows, parts) for _ in range(count)]
        done = subprocess.run([program, "--time"], input="".join(json.dumps(p) + "\n" for p in problems), text=True,
                              stdout=subprocess.PIPE, check=True)
        ours = np.array([json.loads(line)["ns"] for line in done.stdout.splitlines()])
        theirs = np.array([seconds(p) * 1e9 for p in problems])
        low, high = np.quantile(theirs / ours, [0.25, 0.75])
        print("%2d x %-2d  %6.0f ns   bvls %8.0f ns   %5.0f times (%.0f to %.0f)" % (
            rows, parts, np.median(ours), np.median(theirs), np.median(theirs) / np.median(ours), low, high))


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 100)

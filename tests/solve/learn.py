#!/usr/bin/env python3
"""What is learned against scipy.optimize.least_squares on the same logs, one reading in ten gross.

    learn.py LEARN_LINES        skipped (77) where scipy is missing

First the very same objective (Tukey's bisquare for readings, plain squares for the prior rows) from scipy's own
trust-region method: the same minimum to 1e-4. Then another robust loss (Cauchy's): within one standard uncertainty.
"""
import json
import subprocess
import sys

try:
    import numpy as np
    from scipy.optimize import least_squares
except ImportError:
    print("scipy is not installed")
    sys.exit(77)

LABELS = np.array([400.0, 450.0])
DOUBT = np.array([0.05, 0.05, 0.025, 0.025])
BISQUARE = 4.685


def uncertainty(added):  # meter 0.04, water 0.03, pour 1.8 %: solve/uncertainty.h
    return np.sqrt(0.04 ** 2 + 0.03 ** 2 + (0.018 * added) ** 2)


class Log:
    def __init__(self, line):
        mixes = line["mixes"]
        self.tank = np.array([m["tank"] for m in mixes])
        self.reads = np.array([m["reads"] - m["base"] for m in mixes])
        self.share = np.array([m["amounts"] for m in mixes]) * LABELS / np.array([[m["volume"]] for m in mixes])
        self.scale = line["scale"]
        self.learned = np.array(line["learned"])

    def added(self, x):
        return self.share @ x[:2] / x[2 + self.tank]

    def fit(self, rho, start):
        fixed = uncertainty(self.added(self.learned[:, 0])) * self.scale  # at the end of the iteration

        def rows(x):
            return np.concatenate([(self.reads - self.added(x)) / fixed, (x - 1) / DOUBT])

        def loss(z):
            of_readings, of_prior = rho(z[:-4]), np.array([z[-4:], np.ones(4), np.zeros(4)])
            return np.concatenate([of_readings, of_prior], axis=1)

        return least_squares(rows, start, loss=loss, xtol=1e-12, ftol=1e-12, gtol=1e-12).x


def tukey(z):  # rho, rho', rho'' of z = distance squared
    c = BISQUARE ** 2
    inside = z < c
    u = np.where(inside, 1 - z / c, 0)
    return np.array([c / 3 * (1 - u ** 3), u ** 2, -2 / c * u * inside])


def cauchy(z):
    c = 2.385 ** 2  # 95 % where all is normal
    return np.array([c * np.log1p(z / c), 1 / (1 + z / c), -1 / c / (1 + z / c) ** 2])


def main(program):
    lines = subprocess.run([program], check=True, stdout=subprocess.PIPE, text=True).stdout.splitlines()
    worst_same, worst_other = 0.0, 0.0
    for line in lines:
        log = Log(json.loads(line))
        share, relative = log.learned[:, 0], log.learned[:, 1]
        worst_same = max(worst_same, np.abs(log.fit(tukey, np.round(share, 2)) - share).max())
        worst_other = max(worst_other, (np.abs(log.fit(cauchy, np.ones(4)) - share) / relative).max())
    print("%d logs: the same objective to %.1e, another loss to %.2f standard uncertainties"
          % (len(lines), worst_same, worst_other))
    return 0 if len(lines) == 40 and worst_same < 1e-4 and worst_other < 1 else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))

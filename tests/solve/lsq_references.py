#!/usr/bin/env python3
"""Bounded least squares against two independent solvers.

    lsq_references.py scipy LSQ_LINES [COUNT]               scipy.optimize.lsq_linear(method="bvls")
    lsq_references.py quadprog LSQ_LINES [COUNT] RSCRIPT    solve.QP of R's quadprog (Goldfarb and Idnani 1983)

Skipped (77) where the reference is missing. No problem may come out worse than there by more than 1e-12 of the terms
that its objective is the sum of, and where the answer is determined (a condition below 1e3) x is the same to 1e-9. Both
references work to about eleven digits then; what is exact is settled by lsq_exact.py.
"""
import math
import os
import random
import subprocess
import sys

try:
    import numpy as np
    from scipy.optimize import lsq_linear
except ImportError:
    print("scipy is not installed")
    sys.exit(77)

from lsq_problems import KINDS, problem, solve, stacked, with_equality, with_ridge


def matrices(p):
    a, b = stacked(p)
    return np.array(a, float), np.array(b, float), np.array(p["lb"], float), np.array(p["ub"], float)


def misfit(a, b, x):
    return math.fsum(v * v for v in a @ x - b)


def terms(a, b, x):
    return math.fsum(v * v for v in np.abs(a) @ np.abs(x) + np.abs(b))


def condition(p, x, price=None):
    """Of the columns that could move at x, each scaled to 1, with the equality among the rows."""
    a, b, lower, upper = matrices(p)
    size = np.linalg.norm(a, axis=0)
    loose = lower < upper
    if price is not None:
        loose &= np.abs(price) <= 1e-6 * size * np.linalg.norm(b)
    if p["eq"]:
        a = np.vstack([a, p["eq"]["c"]])
    if not loose.any():
        return 1
    if np.any(size == 0) or loose.sum() > len(a):
        return math.inf
    return np.linalg.cond((a / size)[:, loose])


def by_scipy(problems):
    """scipy wants lower < upper and columns of one size."""
    for p in problems:
        a, b, lower, upper = matrices(p)
        x, open_ = lower.copy(), lower < upper
        size = np.linalg.norm(a, axis=0)
        size[size == 0] = 1
        if open_.any():
            rest = b - a[:, ~open_] @ lower[~open_]
            found = lsq_linear((a / size)[:, open_], rest, ((lower * size)[open_], (upper * size)[open_]),
                               method="bvls", tol=1e-15, max_iter=500)
            x[open_] = np.clip(found.x / size[open_], lower[open_], upper[open_])
        yield x


def by_quadprog(problems, rscript):
    script = os.path.join(os.path.dirname(os.path.abspath(__file__)), "lsq_quadprog.R")
    lines = []
    for p in problems:
        a, b, lower, upper = matrices(p)
        n, unit = len(lower), np.eye(len(lower))
        rows = [(p["eq"]["c"], p["eq"]["d"])] if p["eq"] else []
        rows += [(unit[j], lower[j]) for j in range(n) if lower[j] == upper[j]]
        equalities = len(rows)
        rows += [(unit[j], lower[j]) for j in range(n) if lower[j] < upper[j] and np.isfinite(lower[j])]
        rows += [(-unit[j], -upper[j]) for j in range(n) if lower[j] < upper[j] and np.isfinite(upper[j])]
        numbers = [n, len(rows), equalities]
        numbers += list((a.T @ a).ravel()) + list(a.T @ b)
        for row, least in rows:
            numbers += list(row)
        numbers += [least for _, least in rows]
        lines.append(" ".join(repr(float(v)) for v in numbers))
    done = subprocess.run([rscript, "--vanilla", script], input="\n".join(lines) + "\n", text=True,
                          stdout=subprocess.PIPE)
    if done.returncode == 77:
        print("quadprog is not installed")
        sys.exit(77)
    done.check_returncode()
    for p, line in zip(problems, done.stdout.splitlines(), strict=True):
        yield np.clip(np.array(line.split(), float), p["lb"], p["ub"])


def random_problems(reference, count):
    dice = random.Random(19740101)
    kinds = KINDS if reference == "scipy" else ("plain", "given", "no bounds")
    for which in range(count):
        p = problem(dice, kinds[which % len(kinds)], most=12)
        if dice.random() < 0.3:
            with_ridge(dice, p)
        if reference == "quadprog" and dice.random() < 0.7:
            with_equality(dice, p)
            if condition(p, np.array(p["near"])) < 1e3:  # quadprog needs A'A to be positive by itself
                yield p
        elif reference == "scipy" or condition(p, np.array(p["near"])) < 1e3:
            yield p


def main(reference, program, count, rscript=""):
    if reference == "quadprog" and not rscript:
        print("R is not installed")
        return 77
    problems = list(random_problems(reference, count))
    theirs = by_scipy(problems) if reference == "scipy" else by_quadprog(problems, rscript)
    faults = alike = judged = 0
    for p, answer, their in zip(problems, solve(program, problems), theirs):
        if np.any(np.isnan(their)):
            continue
        judged += 1
        a, b, lower, upper = matrices(p)
        if answer["status"] != "optimal":
            faults += 1
            print(p["kind"], answer)
            continue
        x, wrong = np.array(answer["x"]), []
        if np.any(x < lower) or np.any(x > upper):
            wrong.append("a bound is passed")
        if p["eq"] and abs(np.dot(p["eq"]["c"], x) - p["eq"]["d"]) > 1e-12 * (1 + np.abs(p["eq"]["c"]) @ np.abs(x)):
            wrong.append("the equality is missed")
        scale = terms(a, b, x)
        if misfit(a, b, x) > misfit(a, b, their) + 1e-12 * scale:
            wrong.append("misfit %.17g, theirs %.17g" % (misfit(a, b, x), misfit(a, b, their)))
        if condition(p, x, np.array(answer["price"])) < 1e3:
            size = np.linalg.norm(a, axis=0)
            off = np.max(np.abs(x - their) * size) / max(1e-300, np.max(np.abs(x) * size), np.linalg.norm(b))
            alike += off <= 1e-9
            if off > 1e-9 and misfit(a, b, their) <= misfit(a, b, x) + 1e-14 * scale:
                wrong.append("off by %g" % off)
        if wrong:
            faults += 1
            print("%s: %s\n  %s\n  theirs %s\n  %s" % (p["kind"], "; ".join(wrong), answer, list(their), p))
    print("%d problems, %d judged, the same x in %d, %d faults" % (len(problems), judged, alike, faults))
    return 1 if faults or judged < 0.9 * len(problems) or alike < 0.6 * judged else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2], int(sys.argv[3]), *sys.argv[4:]))

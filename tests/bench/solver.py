#!/usr/bin/env python3
"""The solver beside what one might do instead, all in this run, as ratios with their spread.

    solver.py BUILD [PASSES]

Prints rows of "name<TAB>figure<TAB>spread<TAB>goal", which tests/bench/run judges, and lines without tabs, which it
shows. A figure is the median over the passes, each on other random problems; its spread is half of what the middle half
of the passes covers. A goal that begins with > is the least that the figure may be.

- One plain QR factorise-and-solve of the same matrix by GSL, and the compiled core of R's nnls, both called from C
  (lsq_bench.c): 1.0 is as fast.
- scipy's lsq_linear and nnls from Python, R's nnls and quadprog from R (solver.R), each with its whole call, which is
  what a program pays that uses it: how many times longer they take. A package that is not here is left out, and said.
"""
import json
import os
import random
import statistics
import subprocess
import sys
import time

HERE = os.path.dirname(os.path.abspath(__file__))
SCRIPTED_SIZES = (4, 3), (10, 8), (16, 16)

try:
    import numpy as np
    from scipy.optimize import lsq_linear, nnls
except ImportError:
    np = None
    if sys.executable != "/usr/bin/python3" and os.path.exists("/usr/bin/python3"):  # which has the packages of the system
        os.execv("/usr/bin/python3", ["/usr/bin/python3", *sys.argv])


def row(name, turns, goal=""):
    quarters = statistics.quantiles(turns, n=4) if len(turns) > 1 else turns * 3
    print(f"{name}\t{statistics.median(turns):.4g}\t{(quarters[2] - quarters[0]) / 2:.4g}\t{goal}", flush=True)


# ---- called from C ----

def goal_of(family, parts):
    """What one QR costs, and half as much again where there is an equality or the tank has sixteen parts."""
    return "1.5" if "equality" in family or parts > 10 else "1"


def compiled(program, passes):
    table = {}
    for turn in range(passes):
        done = subprocess.run([program, "60", str(turn + 1)], stdout=subprocess.PIPE, text=True, check=True)
        for line in done.stdout.splitlines():
            family, rows, parts, *times = line.split("\t")
            table.setdefault((family, int(rows), int(parts)), []).append([float(t) for t in times])
    print("solve / GSL's QR of the same matrix")
    for (family, rows, parts), turns in table.items():
        row(f"  {family}, {rows} x {parts}", [ours / qr for ours, _, qr, _ in turns], goal_of(family, parts))
    print("what the certificate adds, in solves")
    for (rows, parts) in dict.fromkeys(key[1:] for key in table):
        turns = zip(*(of for key, of in table.items() if key[1:] == (rows, parts)))
        row(f"  median of the families, {rows} x {parts}",
            [statistics.median(with_it / ours - 1 for ours, with_it, _, _ in turn) for turn in turns])
    floors = {key[1:]: turns for key, turns in table.items() if turns[0][3]}
    print("solve / compiled core of R's nnls" if floors else "(R's nnls is not here: r-cran-nnls)")
    for (rows, parts), turns in floors.items():
        row(f"  floors at 0 only, {rows} x {parts}", [ours / theirs for ours, _, _, theirs in turns], "1")


# ---- called from scripts ----

def problem(dice, rows, parts):
    a = [[dice.random() for _ in range(parts)] for _ in range(rows)]
    upper = [1 + dice.random() for _ in range(parts)]
    x = [min(max(2.4 * dice.random() - 0.4, 0), top) for top in upper]
    b = [sum(p * q for p, q in zip(line, x)) + dice.gauss(0, 0.3) for line in a]
    return {"A": a, "b": b, "lb": [0] * parts, "ub": upper}


def ours_of(program, problems):
    done = subprocess.run([program, "--time"], input="".join(json.dumps(p) + "\n" for p in problems), text=True,
                          stdout=subprocess.PIPE, check=True)
    return [json.loads(line)["ns"] for line in done.stdout.splitlines()]


def best_of(call, times=3):
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        call()
        taken.append(time.perf_counter() - begun)
    return min(taken) * 1e9


def by_scipy(problems):
    """Nanoseconds of lsq_linear, and of nnls on the same problem without its tops."""
    bounded, floored = [], []
    for p in problems:
        a, b, bounds = np.array(p["A"]), np.array(p["b"]), (np.array(p["lb"], float), np.array(p["ub"]))
        bounded.append(best_of(lambda: lsq_linear(a, b, bounds, method="bvls")))
        floored.append(best_of(lambda: nnls(a, b)))
    return bounded, floored


def by_r(problems):
    lines = (" ".join(map(repr, [len(p["b"]), len(p["ub"]), *sum(p["A"], []), *p["b"], *p["ub"]])) for p in problems)
    try:
        done = subprocess.run(["Rscript", "--vanilla", os.path.join(HERE, "solver.R")], input="\n".join(lines) + "\n",
                              text=True, stdout=subprocess.PIPE, check=True)
    except FileNotFoundError:
        return None
    return [tuple(map(float, line.split())) for line in done.stdout.splitlines()]


def scripted(program, passes):
    dice = random.Random(1)
    print("theirs / ours, whole calls")
    for rows, parts in SCRIPTED_SIZES:
        turns = {"scipy lsq_linear": [], "scipy nnls": [], "R nnls": [], "R quadprog": []}
        for _ in range(passes):
            problems = [problem(dice, rows, parts) for _ in range(20)]
            ours = statistics.median(ours_of(program, problems))
            unbounded = statistics.median(ours_of(program, [{**p, "ub": None} for p in problems]))
            if np:
                bounded, floored = by_scipy(problems)
                turns["scipy lsq_linear"].append(statistics.median(bounded) / ours)
                turns["scipy nnls"].append(statistics.median(floored) / unbounded)
            told = by_r(problems) or []
            for name, at, mine in (("R nnls", 0, unbounded), ("R quadprog", 1, ours)):
                if told and told[0][at] == told[0][at]:
                    turns[name].append(statistics.median(one[at] for one in told) / mine)
        for name, ratios in turns.items():
            if ratios:
                row(f"  {name}, {rows} x {parts}", ratios, ">100" if name == "scipy lsq_linear" else "")
            else:
                print(f"  ({name} is not here)")


def main(build, passes):
    bench = os.path.join(build, "tests", "bench")
    compiled(os.path.join(bench, "lsq_bench"), passes)
    scripted(os.path.join(bench, "lsq_lines"), passes)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 7)

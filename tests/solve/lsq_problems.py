"""Random problems of bounded least squares, and the answers of lsq_lines to them.

A problem is a dict with the keys of a line of lsq_lines; bounds are floats here and become null or strings on the way.
Every kind of trouble has a name, so that a complaint can say which it was.
"""
import json
import math
import subprocess

INF = math.inf
KINDS = ("plain", "twin", "triple", "zero column", "nearly twin", "given", "wide", "no bounds", "scaled columns",
         "scaled rows", "all of it")


def dyadic(dice, bits=10):
    """A number of few bits, so that exact arithmetic stays quick and twins stay twins when they are scaled."""
    return round(dice.gauss(0, 1) * (1 << bits)) / (1 << bits)


def spoil(dice, kind, a):
    n = len(a[0])
    j, k, l = (dice.randrange(n) for _ in range(3))
    factor = dice.choice([1, 2, -1, 0.5])
    for row in a:
        if kind == "twin":
            row[j] = factor * row[k]
        elif kind == "triple":
            row[j] = row[k] + (row[l] if l != k else 0)
        elif kind == "zero column":
            row[j] = 0
        elif kind == "nearly twin" and j != k:
            row[j] = row[k] * (1 + 2.0 ** -20)


def problem(dice, kind, most=12):
    if kind == "all of it":
        kinds = [k for k in KINDS[:-1] if dice.random() < 0.3]
    else:
        kinds = [kind]
    n = dice.randint(1, most)
    m = dice.randint(1, max(1, n - 1)) if "wide" in kinds else dice.randint(n, n + 6)
    a = [[dyadic(dice) for _ in range(n)] for _ in range(m)]
    for k in kinds:
        spoil(dice, k, a)
    lower = [dice.choice([0, 0, 0, -1, 0.25]) for _ in range(n)]
    upper = [low + dice.choice([0.5, 1, 2, INF]) for low in lower]
    x = [min(max(dice.uniform(-0.6, 1.8), low), high) for low, high in zip(lower, upper)]
    b = [sum(p * q for p, q in zip(row, x)) + dyadic(dice) / 4 for row in a]
    for j in range(n):
        if "given" in kinds and dice.random() < 0.4:
            upper[j] = lower[j]
        if "no bounds" in kinds:
            lower[j], upper[j] = -INF, INF
    weight = None if dice.random() < 0.5 else [dice.choice([1, 2, 0.5, 10]) for _ in range(m)]
    if "scaled rows" in kinds:
        weight = [2.0 ** dice.randint(-27, 27) for _ in range(m)]
    if "scaled columns" in kinds:
        for j, unit in enumerate([2.0 ** dice.randint(-27, 27) for _ in range(n)]):
            for row in a:
                row[j] *= unit
            lower[j] /= unit
            upper[j] /= unit
            x[j] /= unit
    return {"kind": kind, "A": a, "b": b, "w": weight, "lb": lower, "ub": upper, "eq": None, "ridge": None, "near": x}


def with_equality(dice, p):
    """Meets c . x = d somewhere within the bounds."""
    n = len(p["lb"])
    c = [dice.choice([0, 1, 1, 2, -1, 0.5]) for _ in range(n)]
    x = [min(max(v, low), high) for v, low, high in zip(p["near"], p["lb"], p["ub"])]
    p["eq"] = {"c": c, "d": math.fsum(q * v for q, v in zip(c, x))}
    return p


def with_ridge(dice, p, sizes=(0, 0.01, 0.1, 1)):
    n = len(p["lb"])
    p["ridge"] = {"rho": [dice.choice(sizes) for _ in range(n)], "x0": [dice.choice([0, 1, 2]) for _ in range(n)]}
    return p


def bound(value):
    return value if math.isfinite(value) else None if value > 0 else "-Infinity"


def solve(program, problems):
    """The answers, with the certificate."""
    lines = []
    for which, p in enumerate(problems):
        line = {key: p[key] for key in ("A", "b", "w", "eq", "ridge")}
        line.update(id=which, lb=[bound(v) for v in p["lb"]], ub=[bound(v) for v in p["ub"]])
        lines.append(json.dumps(line))
    done = subprocess.run([program, "--report"], input="\n".join(lines) + "\n", text=True, stdout=subprocess.PIPE,
                          check=True)
    answers = [json.loads(line) for line in done.stdout.splitlines()]
    assert [a["id"] for a in answers] == list(range(len(problems))), "an answer a line, in order"
    return answers


def stacked(p):
    """Weighted rows and ridge as one matrix and right-hand side."""
    n = len(p["lb"])
    weight = p["w"] or [1] * len(p["A"])
    a = [[w * v for v in row] for w, row in zip(weight, p["A"])]
    b = [w * v for w, v in zip(weight, p["b"])]
    if p["ridge"]:
        for j, (rho, anchor) in enumerate(zip(p["ridge"]["rho"], p["ridge"]["x0"])):
            a.append([rho if k == j else 0 for k in range(n)])
            b.append(rho * anchor)
    return a, b

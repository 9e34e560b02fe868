#!/usr/bin/env python3
"""Bounded least squares against exact arithmetic, and against what a line may hold.

    lsq_exact.py LSQ_LINES [COUNT]

For up to four parts every choice of bounds is tried, in fractions: of the x that are feasible and stationary, the least
objective, and of those the least norm. There is no tolerance and no method in that, only 3^n small linear systems; it
is the truth for the doubles as they are.
"""
import itertools
import json
import random
import subprocess
import sys
from fractions import Fraction

from lsq_problems import INF, KINDS, problem, solve, stacked, with_equality, with_ridge


def reduced(rows, columns):
    """Gauss-Jordan over the first `columns`; gives the pivot rows and what is left of the others."""
    rows = [list(row) for row in rows]
    pivots, done = [], 0
    for column in columns:
        at = next((k for k in range(done, len(rows)) if rows[k][column] != 0), None)
        if at is None:
            continue
        rows[done], rows[at] = rows[at], rows[done]
        lead = rows[done][column]
        rows[done] = [v / lead for v in rows[done]]
        for k, row in enumerate(rows):
            if k != done and row[column] != 0:
                rows[k] = [v - row[column] * w for v, w in zip(row, rows[done])]
        pivots.append(column)
        done += 1
    return rows[:done], pivots, rows[done:]


def stationary(a, b, c, d):
    """Least norm of the x where A'(A x - b) = c p and c . x = d; None if there is none."""
    n = len(a[0]) if a else len(c)
    rows = [[sum(r[i] * r[j] for r in a) for j in range(n)] + [-c[i], sum(r[i] * t for r, t in zip(a, b))]
            for i in range(n)] + [list(c) + [Fraction(0), d]]
    kept, pivots, rest = reduced(rows, [n] + list(range(n)))  # the price first: what is left speaks of x alone
    if any(row[-1] != 0 for row in rest):
        return None
    kept = [row[:n] + row[-1:] for row, pivot in zip(kept, pivots) if pivot != n]
    gram = [[sum(p * q for p, q in zip(r[:n], s[:n])) for s in kept] + [r[-1]] for r in kept]
    solved = reduced(gram, range(len(kept)))[0]
    return [sum(y[-1] * r[j] for y, r in zip(solved, kept)) for j in range(n)]


def candidate(a, b, equal, lower, upper, sides):
    n = len(sides)
    x = [lower[j] if side < 0 else upper[j] if side > 0 else None for j, side in enumerate(sides)]
    free = [j for j in range(n) if sides[j] == 0]
    fixed = [j for j in range(n) if sides[j] != 0]
    c, d = equal if equal else ([Fraction(0)] * n, Fraction(0))
    d = d - sum(c[j] * x[j] for j in fixed)
    if free:
        rest = [t - sum(r[j] * x[j] for j in fixed) for r, t in zip(a, b)]
        found = stationary([[r[j] for j in free] for r in a], rest, [c[j] for j in free], d)
        if found is None:
            return None
        for j, v in zip(free, found):
            x[j] = v
    elif d != 0:
        return None
    return x if all(low <= v <= high for low, v, high in zip(lower, x, upper)) else None


def exact(values):
    return [Fraction(v) if abs(v) < INF else v for v in values]


def objective(a, b, x):
    return sum((sum(p * q for p, q in zip(r, x)) - t) ** 2 for r, t in zip(a, b))


def best(a, b, equal, lower, upper):
    """(objective, norm, x), or None where the equality is out of reach."""
    choices = [[0] + [-1] * (low > -INF) + [1] * (high < INF and high != low) for low, high in zip(lower, upper)]
    found = None
    for sides in itertools.product(*choices):
        x = candidate(a, b, equal, lower, upper, sides)
        if x is not None:
            key = (objective(a, b, x), sum(v * v for v in x))
            if found is None or key < found[:2]:
                found = key + (x,)
    return found


def weigh(p, answer):
    """What is wrong with the answer to p, in words; nothing if it is the truth."""
    a, b = stacked({**p, "A": [exact(r) for r in p["A"]], "b": exact(p["b"]), "w": p["w"] and exact(p["w"]),
                    "ridge": p["ridge"] and {k: exact(v) for k, v in p["ridge"].items()}})
    equal = p["eq"] and (exact(p["eq"]["c"]), Fraction(p["eq"]["d"]))
    truth = best(a, b, equal, exact(p["lb"]), exact(p["ub"]))
    if truth is None:
        # Rounding of the sum may have put d past what can be reached, by the last digit; then it counts as reached.
        return None if answer["status"] in ("infeasible", "optimal") else answer["status"]
    if answer["status"] != "optimal":
        return "%s, but %s is feasible" % (answer["status"], [float(v) for v in truth[2]])
    terms = float(sum((sum(abs(v * q) for v, q in zip(r, truth[2])) + abs(t)) ** 2 for r, t in zip(a, b)))
    over = float(objective(a, b, exact(answer["x"])) - truth[0])
    if not abs(over) <= 1e-13 * terms + 1e-300:
        return "objective %g too large, of %g" % (over, terms)
    size = max([1] + [abs(float(v)) for v in truth[2]])
    off = max(abs(float(v) - w) for v, w in zip(truth[2], answer["x"]))
    tolerance = 1e-6 if p["kind"] in ("nearly twin", "all of it") else 1e-9  # squares of a condition of 1e6 cost 12 digits
    if not off <= tolerance * size:
        return "x is %s" % [float(v) for v in truth[2]]
    return None


def random_problems(count, seed):
    dice = random.Random(seed)
    kinds = [kind for kind in KINDS if not kind.startswith("scaled")]
    for which in range(count):
        p = problem(dice, kinds[which % len(kinds)], most=4 if which % 5 == 0 else 3)
        if dice.random() < 0.35:
            with_equality(dice, p)
        if dice.random() < 0.3:
            with_ridge(dice, p, (0, 1e-9, 0.01, 0.1, 1) if p["kind"] in ("plain", "twin") else (0, 0.01, 0.1, 1))
        yield p


HALF = '"A":[[1,2],[3,4]],"b":[1,2]'
LINES = [  # line, its answer's beginning
    ('{"id":"plain",%s}' % HALF, '{"id":"plain","status":"optimal","x":[0'),
    ('{"id":[1,{"a":null}],%s,"w":null,"lb":null,"ub":null,"eq":null,"ridge":null}' % HALF,
     '{"id":[1,{"a":null}],"status":"optimal"'),
    ('{"id":1.5,%s,"lb":["-Infinity",0],"ub":[null,"Infinity"]}' % HALF, '{"id":1.5,"status":"optimal"'),
    ('{"id":2,"A":[[1,"NaN"],[3,4]],"b":[1,2]}', '{"id":2,"status":"invalid","x":null'),
    ('{"id":3,"A":[[1,"Infinity"],[3,4]],"b":[1,2]}', '{"id":3,"status":"invalid","x":null'),
    ('{"id":4,"A":[[1,2],[3,4]],"b":["-Infinity",2]}', '{"id":4,"status":"invalid","x":null'),
    ('{"id":5,%s,"w":[1,"NaN"]}' % HALF, '{"id":5,"status":"invalid","x":null'),
    ('{"id":6,%s,"w":[1,-1]}' % HALF, '{"id":6,"status":"invalid","x":null'),
    ('{"id":7,%s,"lb":[2,0],"ub":[1,1]}' % HALF, '{"id":7,"status":"invalid","x":null'),
    ('{"id":8,%s,"ub":["NaN",1]}' % HALF, '{"id":8,"status":"invalid","x":null'),
    ('{"id":9,%s,"eq":{"c":[1,1],"d":"NaN"}}' % HALF, '{"id":9,"status":"invalid","x":null'),
    ('{"id":10,%s,"ub":[1,1],"eq":{"c":[1,1],"d":2.5}}' % HALF, '{"id":10,"status":"infeasible","x":null'),
    ('{"id":11,%s,"ub":[1,1],"eq":{"c":[0,0],"d":1}}' % HALF, '{"id":11,"status":"infeasible","x":null'),
    ('{"id":12,%s,"ub":[1,1],"eq":{"c":[1,1],"d":2}}' % HALF, '{"id":12,"status":"optimal","x":[1,1]'),
    ('{"id":13,%s,"ridge":{"rho":[1,-1],"x0":[0,0]}}' % HALF, '{"id":13,"status":"invalid","x":null'),
    ('{"id":14,%s,"ridge":{"rho":1,"x0":null}}' % HALF, '{"id":14,"status":"optimal"'),
    ('{"id":15,%s,"lb":[0]}' % HALF, '{"id":15,"status":"invalid","x":null'),
    ('{"id":16,"A":[[1,2],[3]],"b":[1,2]}', '{"id":16,"status":"invalid","x":null'),
    ('{"id":17,"A":[[1,2]],"b":[1],"w":["heavy"]}', '{"id":17,"status":"invalid","x":null'),
    ('{"id":18,"A":[],"b":[],"lb":[1,-2],"ub":[2,2]}', '{"id":18,"status":"optimal","x":[1,0]'),
    ('{"id":19,"b":[1]}', '{"id":19,"status":"invalid","x":null'),
    ('[1,2]', '{"id":null,"status":"invalid","x":null'),
    ('{"id":20,', '{"id":null,"status":"invalid","x":null'),
    ('no line at all', '{"id":null,"status":"invalid","x":null'),
    ('{"id":"last",%s}' % HALF, '{"id":"last","status":"optimal"'),
]


def check_lines(program):
    done = subprocess.run([program], input="".join(line + "\n" for line, _ in LINES), text=True, check=True,
                          stdout=subprocess.PIPE)
    answers = done.stdout.splitlines()
    faults = 0 if len(answers) == len(LINES) else 1
    for (line, wanted), got in zip(LINES, answers):
        json.loads(got)
        if not got.startswith(wanted):
            faults += 1
            print("%s\n  gave   %s\n  wanted %s" % (line, got, wanted))
    return faults


def main(program, count):
    faults, met = check_lines(program), 0
    problems = list(random_problems(count, 20260302))
    for p, answer in zip(problems, solve(program, problems)):
        wrong = weigh(p, answer)
        met += answer["status"] == "optimal"
        if wrong:
            faults += 1
            print("%s: %s\n  %s\n  %s" % (p["kind"], wrong, {k: v for k, v in p.items() if k != "near"}, answer))
    print("%d problems, %d with an answer, %d faults" % (len(problems), met, faults))
    return 1 if faults or met < 0.9 * len(problems) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 2500))

#!/usr/bin/env python3
"""Ten thousand random tanks, worked out again in fractions.

    exact.py PROGRAM [COUNT]

Every number of a question is a fraction of its decimal digits, so nothing is rounded on this side:

    e0 = (heel x heel-ec + (volume - heel) x water-ec) / volume        conservation of salts
    shares = min((ec - e0) / slope, the lowest of top / ratio), not below 0
    dose = shares x ratio x volume

(FAO Irrigation and Drainage Paper 29, blending of waters.) The exact amounts must agree to 1e-9. What the person is told
to pour, as digits, is compared with the label's top as a fraction: it may never be above, not by one in the last place.
"""
import json
import random
import re
import subprocess
import sys
from fractions import Fraction

GALLON = Fraction("3.785411784")  # L, NIST SP 811, exact
LITRES = {"L": Fraction(1), "mL": Fraction(1, 1000), "gal-us": GALLON}
CLOSE = Fraction(1, 10 ** 9)
SEED = 20260302


def digits(dice, low, high, places):
    return "%.*f" % (places, dice.uniform(low, high))


def random_tank(dice):
    """The numbers of a tank, as they are typed."""
    unit = dice.choice(["L", "L", "gal-us"])
    volume = digits(dice, 2, 400, 1)
    tank = {"unit": unit, "volume": volume, "heel": "0", "heel-ec": digits(dice, 0.2, 3, 2),
            "water-ec": digits(dice, 0, 0.9, 2), "slope": digits(dice, 0.08, 0.9, 3), "parts": []}
    if dice.random() < 0.5:
        tank["heel"] = digits(dice, 0, float(volume) * 0.9, 1)
    for i in range(dice.randint(1, 3)):
        tank["parts"].append(("P%d" % i, digits(dice, 0.2, 3, 2), digits(dice, 0.5, 6, 2)))
    base = float(start(tank))
    tank["ec"] = digits(dice, base + 0.05, base + 2.5, 2)
    return tank


def start(tank):
    volume, heel = Fraction(tank["volume"]), Fraction(tank["heel"])
    return (heel * Fraction(tank["heel-ec"]) + (volume - heel) * Fraction(tank["water-ec"])) / volume


def question(number, tank):
    asked = {"job": "mix", "id": number, "volume": "%s %s" % (tank["volume"], tank["unit"]),
             "water-ec": tank["water-ec"] + " mS/cm", "ec": tank["ec"] + " mS/cm",
             "part": [{"name": n, "rate": "0-%s mL/L" % top} for n, _, top in tank["parts"]],
             "together": {"parts": {n: ratio for n, ratio, _ in tank["parts"]},
                          "ec": tank["slope"] + " mS/cm per mL/L"}}
    if Fraction(tank["heel"]):
        asked["heel"] = "%s %s" % (tank["heel"], tank["unit"])
        asked["heel-ec"] = tank["heel-ec"] + " mS/cm"
    return asked


def doses(tank):
    """mL of each part, and whether a label's top holds them back."""
    litres = Fraction(tank["volume"]) * LITRES[tank["unit"]]
    wanted = (Fraction(tank["ec"]) - start(tank)) / Fraction(tank["slope"])
    most = min(Fraction(top) / Fraction(ratio) for _, ratio, top in tank["parts"])
    return {n: max(min(wanted, most), Fraction(0)) * Fraction(ratio) * litres for n, ratio, _ in tank["parts"]}


def millilitres(amount):
    """A JSON number is read by its digits, as a person reads them."""
    return amount["value"] * LITRES[amount["unit"]] * 1000


def check(tank, answer):
    wrong = []
    want = doses(tank)
    litres = Fraction(tank["volume"]) * LITRES[tank["unit"]]
    tops = {n: Fraction(top) * litres for n, _, top in tank["parts"]}
    poured = {}
    for row in answer.get("rows", []):
        if row["do"] != "pour" or "concentrate" in row:
            if "concentrate" in row:
                poured[row["part"]] = None
            continue
        part = row["part"]
        if abs(millilitres(row["exact"]) - want[part]) > CLOSE * max(1, want[part]):
            wrong.append("%s: exact %s, not %s" % (part, float(millilitres(row["exact"])), float(want[part])))
        if millilitres(row["amount"]) > tops[part] * (1 + Fraction(1, 10 ** 12)):
            wrong.append("%s: %s mL is above the label's top %s" %
                         (part, float(millilitres(row["amount"])), float(tops[part])))
        poured[part] = True
    missing = [n for n in want if n not in poured and want[n] > Fraction(1, 100)]
    return wrong + ["%s is not poured" % n for n in missing]


def text_figures(program, tanks):
    """The text of capped tanks: its number of mL against the top."""
    wrong, seen = [], 0
    for tank in tanks:
        asked = question(0, tank)
        words = [program, "mix"]
        for key in ("volume", "water-ec", "ec", "heel", "heel-ec"):
            if key in asked:
                words += ["--" + key, asked[key]]
        for part in asked["part"]:
            words += ["--part", "{name: %s, rate: %s}" % (part["name"], part["rate"])]
        words += ["--together", json.dumps(asked["together"])]
        text = subprocess.run(words, capture_output=True, text=True).stdout
        litres = Fraction(tank["volume"]) * LITRES[tank["unit"]]
        for name, _, top in tank["parts"]:
            for value, unit in re.findall(r"\[ \] +([0-9.]+) (mL|L) +%s\b" % name, text):
                seen += 1
                if Fraction(value) * LITRES[unit] * 1000 > Fraction(top) * litres:
                    wrong.append("text: %s %s of %s is above the label's top %s mL: %s" %
                                 (value, unit, name, float(Fraction(top) * litres), " ".join(words[1:])))
    return seen, wrong


def main(program, count=10000):
    dice = random.Random(SEED)
    tanks = [random_tank(dice) for _ in range(count)]
    lines = "".join(json.dumps(question(i, t)) + "\n" for i, t in enumerate(tanks))
    done = subprocess.run([program, "batch"], input=lines, capture_output=True, text=True)
    answers = [json.loads(line, parse_float=Fraction, parse_int=Fraction) for line in done.stdout.splitlines()]
    wrong = [] if len(answers) == count else ["%d answers to %d questions" % (len(answers), count)]
    capped = []
    for tank, answer in zip(tanks, answers):
        if answer["aliquot"] != "sheet 1":
            wrong.append("no sheet: %s" % answer["errors"][0]["text"])
            continue
        wrong += ["question %d: %s" % (answer["id"], w) for w in check(tank, answer)]
        if answer["outcome"] == "capped":
            capped.append(tank)
    seen, bad = text_figures(program, capped[:200])
    wrong += bad
    for line in wrong[:20]:
        print(line)
    print("%d tanks, %d held back by a label, %d figures of text; %d wrong" % (count, len(capped), seen, len(wrong)))
    return 1 if wrong or not capped or not seen else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], *[int(w) for w in sys.argv[2:3]]))

#!/usr/bin/env python3
"""Writes lines for `aliquot batch`: whole questions for a mix, of about 600 bytes, from a seed.

    questions.py COUNT [SEED]

A line has a tank with old solution, a water with its analysis, a supplement that goes in first, a pair that is dosed
together, tools to measure with, and an EC to reach: what a program would send that keeps its own records.
"""
import json
import random
import sys


def number(value):
    return f"{value:.3g}" if value < 1000 else f"{value:.0f}"


def question(dice, which):
    volume = dice.choice([20, 35, 60, 80, 120, 200, 450])
    water = {"name": "tap", "ec": f"{dice.uniform(0.05, 0.6):.2f} mS/cm",
             "analysis": {"Ca": f"{dice.randint(5, 60)} mg/L", "Mg": f"{dice.randint(2, 14)} mg/L",
                          "Na": f"{dice.randint(3, 25)} mg/L"}}
    supplement = {"name": "Calcium-magnesium", "ec": f"{dice.uniform(0.4, 0.5):.2f} mS/cm per mL/L",
                  "to": f"{dice.uniform(0.75, 1.1):.2f} mS/cm",
                  "analysis": {"basis": "w/v", "as": "element", "Ca": f"{dice.uniform(2.5, 4):.1f} %"}}
    pair = {"parts": {"A": 1, "B": 1}, "ec": f"{dice.uniform(0.34, 0.46):.2f} mS/cm per mL/L"}
    bench = [{"name": "60 mL syringe", "holds": "60 mL", "marks": "1 mL"},
             {"name": "jug", "holds": "1 L", "marks": "20 mL"}]
    return {"job": "mix", "id": which, "volume": f"{volume} L", "heel": f"{number(volume * dice.uniform(0.02, 0.3))} L",
            "heel-ec": f"{dice.uniform(1.0, 2.4):.2f} mS/cm", "water": [water], "ec": f"{dice.uniform(1.2, 2.2):.2f} mS/cm",
            "part": [supplement], "together": pair, "bench": bench, "who": dice.choice(["Ada", "Ben", "Cleo"]),
            "note": f"row {dice.randint(1, 40)}, bay {dice.randint(1, 9)}"}


def main():
    dice = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    for which in range(int(sys.argv[1])):
        print(json.dumps(question(dice, which + 1), separators=(",", ":")))


if __name__ == "__main__":
    main()

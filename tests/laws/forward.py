"""Asks the program many questions in one batch, and reads its answers for those who pour them forward.

A law is a function of a Dice that returns questions (the members of a batch line) and a check of each answer. The
check works forward from what the sheet tells to pour, in arithmetic of its own, and fails by calling `near` or `must`.
"""
import json
import math
import random
import subprocess

LITRES = {"L": 1.0, "mL": 1e-3, "gal-us": 3.785411784, "gal-imp": 4.54609}
GRAMS = {"g": 1.0, "kg": 1e3, "mg": 1e-3}


class Broken(Exception):
    """A law does not hold."""


class Dice(random.Random):
    def between(self, low, high, digits=3):
        return round(self.uniform(low, high), digits)


def must(holds, *words):
    if not holds:
        raise Broken(" ".join(str(w) for w in words))


def near(what, got, want, slack):
    """Within `slack` of what is wanted, absolutely."""
    must(math.isfinite(got) and abs(got - want) <= slack, what, "is", repr(got), "not", repr(want))


def value(amount, unit):
    """The number of an amount, in that unit."""
    for kind in (LITRES, GRAMS):
        if amount["unit"] in kind and unit in kind:
            return amount["value"] * kind[amount["unit"]] / kind[unit]
    must(amount["unit"] == unit, "the unit is", amount["unit"], "not", unit)
    return amount["value"]


def rows(sheet, *acts):
    return [r for r in sheet.get("rows", []) if r["do"] in acts]


def poured(sheet, part, unit="L", member="exact"):
    """All of a part that goes in."""
    return sum(value(r[member], unit) for r in rows(sheet, "pour", "weigh") if r["part"] == part)


def answers(program, questions):
    """One answer for each question, in their order."""
    lines = "".join(json.dumps(q) + "\n" for q in questions)
    done = subprocess.run([program, "batch"], input=lines, capture_output=True, text=True, timeout=300,
                          env={"SOURCE_DATE_EPOCH": "1772409600"})
    found = [json.loads(line) for line in done.stdout.splitlines()]
    must(len(found) == len(questions), len(found), "answers to", len(questions), "questions:", done.stderr[:300])
    return found


def hold(program, law, seed):
    """Runs one law; the number of its answers, or the first that breaks it."""
    asked = law(Dice(seed))
    questions = [question for question, _ in asked]
    for (question, check), sheet in zip(asked, answers(program, questions)):
        try:
            must(sheet.get("aliquot", "").startswith("sheet"), "no sheet:", sheet.get("errors"))
            check(sheet)
        except (Broken, KeyError, IndexError) as broken:
            raise Broken("%s: %r\n    %s\n    %s" % (law.__doc__, broken, json.dumps(question),
                                                  json.dumps(sheet)[:1500])) from broken
    return len(asked)

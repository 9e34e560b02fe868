#!/usr/bin/env python3
"""Validates the sample sheets, and lines as a batch reads them, by the schemas the library writes; the validator is
the `jsonschema` package, draft 2020-12.

    schema.py PROGRAM       exits 1 where a schema is none, or refuses what is right, or takes what is wrong
"""
import json
import subprocess
import sys
import warnings

warnings.simplefilter("ignore", DeprecationWarning)
import jsonschema  # noqa: E402

# A line and whether a batch could read it. Limits and units are not a schema's to judge.
LINES = [
    ("acid", {"volume": "200 L", "alkalinity": "180 mg/L CaCO3", "to": "60 mg/L CaCO3", "id": 7,
              "acid": {"name": "nitric", "strength": "67 % w/w", "density": "1.40 kg/L"}}, True),
    ("acid", {"volume": "200 L", "acid": ["{name: nitric, strength: 67 % w/w}", {"name": "phosphoric", "strength": "75 % w/w"}]}, True),
    ("acid", {"volume": 200}, False),
    ("acid", {"volum": "200 L"}, False),
    ("acid", {"volume": "200 L", "acid": {"nam": "nitric"}}, False),
    ("convert", {"quantity": "135 mL", "to": "g", "density": "1.26 kg/L"}, True),
    ("flush", {"medium": "12 L", "ec-now": "3.4 mS/cm", "feed-ec": "0.6 mS/cm", "to": "1.2 mS/cm"}, True),
    ("flush", {"medium": "12 L", "gallon": "us", "date": "2026-03-02"}, True),
    ("flush", {"medium": "12 L", "gallon": "dutch"}, False),
    ("meter", {"reads": "900 ppm", "ppm": 700}, True),
    ("meter", {"reads": "900 ppm", "ppm": "700"}, True),
    ("meter", {"reads": "900 ppm", "ppm": 600}, False),
]

# Sheets that no renderer may write.
WRONG = [
    {"aliquot": "sheet 1", "job": "mix"},
    {"aliquot": "sheet 2", "job": "mix", "outcome": "met"},
    {"aliquot": "sheet 1", "job": "mix", "outcome": "met", "extra": 1},
    {"aliquot": "sheet 1", "job": "mix", "outcome": "met", "volume": 60},
    {"aliquot": "sheet 1", "job": "mix", "outcome": "met", "rows": [{"part": "A"}]},
    {"aliquot": "sheet 1", "job": "mix", "outcome": "met", "rows": [{"do": "drink"}]},
    {"aliquot": "sheet 1", "job": "mix", "outcome": "met", "figures": {"ec": 1.2}},
    {"aliquot": "sheet 1", "job": "mix", "outcome": "met", "totals": [{"amount": {"value": 1, "unit": "L"}}]},
]


def output(program, *words):
    return subprocess.run([program, *words], capture_output=True, check=True).stdout.decode("utf-8")


def validator(program, name):
    schema = json.loads(output(program, "schema", name))
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def complaints(of, value):
    return ["%s: %s" % ("/".join(str(step) for step in error.absolute_path), error.message[:200])
            for error in of.iter_errors(value)]


def main(program):
    faults = []
    sheet = validator(program, "sheet")
    for name in output(program).split():
        faults += ["%s: %s" % (name, fault) for fault in complaints(sheet, json.loads(output(program, "json", name)))]
    faults += ["taken: %s" % wrong for wrong in WRONG if not complaints(sheet, wrong)]
    for job, line, right in LINES:
        found = complaints(validator(program, job), dict(line, job=job))
        if right:
            faults += ["%s: %s" % (job, fault) for fault in found]
        elif not found:
            faults.append("%s: taken: %s" % (job, line))
        if not complaints(validator(program, job), dict(line, job="other")):
            faults.append("%s: taken for another job" % job)
    for fault in faults:
        print(fault)
    print("%d lines, %d faults" % (len(LINES), len(faults)))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))

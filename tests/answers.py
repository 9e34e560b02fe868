#!/usr/bin/env python3
"""Asks the program questions as a grower types them, and checks the numbers of its answers.

    answers.py PROGRAM FOLDER      every *.txt in FOLDER; exits 1 where an answer differs

A file of answers holds cases, each a command line and what its sheet must hold:

    PAIR='{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}'      a shell variable for the commands below

    # where the numbers come from
    $ aliquot mix --volume 60L ...                             run by sh, with --format json added
    exit 1                                                     0 where it is not said
    rows[part=Feed].exact   120 mL                             within 0.5 % of it
    expect.ec               1.14 mS/cm +- 0.01                 within 0.01
    figures.N               171 mg/L +- 1 %                    within 1 %
    outcome                 "capped"                           that text
    assumed                 ~ jar-test                         one of its texts holds that
    -                       rows[do=water]                     nothing stands there
    stderr                  ~ 30.4 mL                          the complaint holds that; standard output is empty

A path goes through keys and picks: rows[part=A] is every row of that part, and numbers of several rows are added;
any other pick takes the first. rows[part=A,tank=B] has two conditions, beside[1] counts from 0. Units are converted.
"""
import glob
import json
import os
import re
import subprocess
import sys

USUAL = 0.005  # relative: three figures, as the worked examples are printed
GALLON_US, GALLON_IMPERIAL = 3.785411784, 4.54609  # L: NIST SP 811, exact
BASE = {"L": 1, "mL": 1e-3, "gal-us": GALLON_US, "gal-imp": GALLON_IMPERIAL, "fl-oz-us": GALLON_US / 128,
        "fl-oz-imp": GALLON_IMPERIAL / 160, "tsp-us": GALLON_US / 768}
MASS = {"g": 1, "kg": 1e3, "mg": 1e-3, "oz": 28.349523125}
EC = {"mS/cm": 1, "uS/cm": 1e-3, "dS/m": 1}
TIME = {"d": 1, "h": 1 / 24, "min": 1 / 1440}
KINDS = [BASE, MASS, EC, TIME]


def convert(value, unit, wanted):
    if unit == wanted or not wanted:
        return value
    for kind in KINDS:
        if unit in kind and wanted in kind:
            return value * kind[unit] / kind[wanted]
    raise ValueError("the unit is %s and %s is wanted" % (unit, wanted))


def pick(items, conditions):
    if conditions.isdigit():
        return items[int(conditions):int(conditions) + 1]
    pairs = [c.split("=", 1) for c in conditions.split(",")]
    return [i for i in items if all(str(i.get(k)) == v for k, v in pairs)]


def find(sheet, path):
    """Everything at `path`."""
    here = [sheet]
    for key, conditions in re.findall(r"([^.\[\]]+)(?:\[([^\]]*)\])?", path):
        there = [h[key] for h in here if isinstance(h, dict) and key in h]
        here = [i for t in there for i in pick(t, conditions)] if conditions else there
    return here


def number(found, path, unit):
    amounts = [(f["value"], f.get("unit", "")) if isinstance(f, dict) else (f, "") for f in found]
    values = [convert(value, has, unit if has else "") for value, has in amounts]
    return sum(values) if "[part=" in path else values[0]


def check(sheet, line):
    """None, or what is wrong."""
    if line.startswith("-"):
        path = line[1:].strip()
        return "%s is there" % path if find(sheet, path) else None
    path, wanted = re.match(r"((?:[^\s\[]+(?:\[[^\]]*\])?)+)\s+(.*)", line).groups()
    found = find(sheet, path)
    if not found:
        return "nothing at " + path
    if wanted.startswith("~"):
        words = wanted[1:].strip()
        texts = found[0] if isinstance(found[0], list) else found
        return None if any(words in str(t) for t in texts) else "%s has no %r in %r" % (path, words, texts)
    if wanted.startswith('"'):
        return None if found[0] == json.loads(wanted) else "%s is %r, not %s" % (path, found[0], wanted)
    value, unit, slack, percent = re.match(r"(\S+)\s*(.*?)\s*(?:\+-\s*(\S+)\s*(%?))?$", wanted).groups()
    value = float(value)
    slack = float(slack) * (abs(value) / 100 if percent else 1) if slack else USUAL * abs(value)
    got = number(found, path, unit)
    return None if abs(got - value) <= slack + 1e-12 else "%s is %.6g, not %s" % (path, got, wanted)


def ask(case, program, variables):
    """The finished process of the case's command."""
    env = {**os.environ, "PATH": os.path.dirname(os.path.abspath(program)) + os.pathsep + os.environ["PATH"],
           "SOURCE_DATE_EPOCH": "1772409600", "NO_COLOR": "1"}  # Mon 2 Mar 2026
    top = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    return subprocess.run(["sh", "-c", variables + case["command"] + " --format json"], cwd=top, env=env,
                          stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=60)


def run(case, program, variables):
    done = ask(case, program, variables)
    wrong = []
    if done.returncode != case["exit"]:
        wrong.append("exit %d, not %d: %s" % (done.returncode, case["exit"], done.stderr.strip()))
    if case["stderr"] and done.stdout:
        wrong.append("standard output holds something")
    wrong += ["stderr has no %r: %s" % (w, done.stderr.strip()) for w in case["stderr"] if w not in done.stderr]
    if case["checks"] and not done.stdout:
        return wrong + ["no sheet: " + done.stderr.strip()]
    for line in case["checks"]:
        try:
            wrong += filter(None, [check(json.loads(done.stdout), line)])
        except (ValueError, KeyError, TypeError, AttributeError) as error:
            wrong.append("%s: %r" % (line, error))
    return wrong


def read(name):
    """The shell variables of a file, and its cases."""
    variables, cases = "", []
    with open(name, encoding="utf-8") as file:
        for at, line in enumerate(file, 1):
            line = line.strip()
            if not line or line.startswith("#"):
                continue
            if re.match(r"[A-Z][A-Z0-9]*=", line):
                variables += line + "\n"
            elif line.startswith("$ "):
                cases.append({"at": at, "command": line[2:], "exit": 0, "checks": [], "stderr": []})
            elif line.startswith("exit "):
                cases[-1]["exit"] = int(line[5:])
            elif line.startswith("stderr"):
                cases[-1]["stderr"].append(line.split("~", 1)[1].strip())
            else:
                cases[-1]["checks"].append(line)
    return variables, cases


def main(program, folder):
    cases = failed = checks = 0
    for name in sorted(glob.glob(os.path.join(folder, "*.txt"))):
        variables, here = read(name)
        for case in here:
            cases += 1
            checks += len(case["checks"]) + len(case["stderr"])
            wrong = run(case, program, variables)
            failed += bool(wrong)
            for what in wrong:
                print("%s:%d: %s\n    %s" % (name, case["at"], case["command"], what))
    print("%d questions with %d checks, %d answered wrongly" % (cases, checks, failed))
    return 1 if failed or not cases else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2]))

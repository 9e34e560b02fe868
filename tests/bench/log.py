#!/usr/bin/env python3
"""How long a log of 100,000 mixes takes: import, one more entry, list, learn, and a mix of a site beside it.

    log.py BUILD [TURNS] [MIXES]      prints rows of name, figure, spread and goal, with tabs between; nothing is judged

One more entry is added inside one program that has the log open, so that only the adding is measured. The disk's own
share is told by a plain write and fsync of as many bytes, in turn with it: on a disk that takes longer to keep a byte no
log can be faster, so the goal is for what the log adds to that.

Made-up mixes of a nursery with five tanks, a pair and a supplement; one reading in twenty is gross.
"""
import json
import os
import random
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

SITE = """aliquot: site 1
name: Fernhollow
recipes: {leaf: leaf.yaml}
waters:
  tap: {ec: 0.32 mS/cm}
reservoirs:
  - {name: T0, holds: 12 L, water: tap}
"""
RECIPE = """aliquot: recipe 1
parts:
  - {name: A, rate: 1-4 mL/L}
  - {name: B, rate: 1-4 mL/L}
  - {name: Calcium-magnesium, rate: 0-1.5 mL/L, ec: 0.29 mS/cm per mL/L}
together:
  - {parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}
"""


def mixes(count):
    dice = random.Random(1)
    yield {"aliquot": "log 1"}
    for i in range(count):
        tank = i % 5
        volume = (12, 60, 55, 100, 200)[tank]
        pair, extra = 1 + 2 * dice.random(), dice.choice((0, dice.random()))
        reads = 0.32 + (0.39 * pair + 0.28 * extra) * (1 + dice.gauss(0, 0.02)) + dice.gauss(0, 0.04)
        if dice.random() < 0.05:
            reads *= 1.4
        poured = {"A": "%.1f mL" % (pair * volume), "B": "%.1f mL" % (pair * volume)}
        if extra:
            poured["Calcium-magnesium"] = "%.1f mL" % (extra * volume)
        yield {"at": "%d-%02d-%02dT07:30" % (2000 + i // 5000, 1 + i // 450 % 12, 1 + i // 16 % 28),
               "reservoir": "T%d" % tank, "volume": "%d L" % volume, "water-ec": "0.32 mS/cm", "poured": poured,
               "ec-after": "%.2f mS/cm" % max(reads, 0), "who": "Nell"}


def row(name, turns, goal=""):
    quarters = statistics.quantiles(turns, n=4) if len(turns) > 2 else [0, 0, 0]
    print("%s\t%.4f\t%.4f\t%s" % (name, statistics.median(turns), (quarters[2] - quarters[0]) / 2, goal), flush=True)


def seconds(*command):
    start = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - start


def append(program, turns):
    told = subprocess.run([program, "site.log", "plain", str(turns)], check=True, capture_output=True, text=True).stdout
    added, alone, grown = zip(*(map(int, line.split()) for line in told.splitlines()))
    row("log, one more entry, ms", [ns / 1e6 for ns in added])
    row("log, the disk's write and fsync of as many bytes, ms", [ns / 1e6 for ns in alone])
    row("log, one more entry, in plain writes and fsyncs", [a / b for a, b in zip(added, alone)])
    row("log, one more entry over the plain one, ms", [(a - b) / 1e6 for a, b in zip(added, alone)], "5")
    row("log, bytes that one more entry writes", grown)


def beside(program, turns):
    """Of tenths of the turns the time that a quarter stayed below: on a busy machine the longer ones were interrupted."""
    groups = []
    for _ in range(10):
        taken = {"site.yaml": [], "bare.yaml": []}
        for _ in range(max(4, turns // 10)):
            for site, times in taken.items():
                times.append(seconds(program, "mix", site, "T0", "--ec", "1.5mS/cm"))
        groups.append({site: statistics.quantiles(times, n=4)[0] for site, times in taken.items()})
    row("mix of a site with a log over one without, ms", [1e3 * (g["site.yaml"] - g["bare.yaml"]) for g in groups])


def main(build, turns, count):
    program = os.path.join(build, "cli", "aliquot")
    folder = tempfile.mkdtemp(prefix="aliquot-bench-")
    try:
        os.chdir(folder)
        for name, text in (("site.yaml", SITE), ("bare.yaml", SITE), ("leaf.yaml", RECIPE)):
            with open(name, "w", encoding="utf-8") as file:
                file.write(text)
        with open("mixes.jsonl", "w", encoding="utf-8") as file:
            file.writelines(json.dumps(mix) + "\n" for mix in mixes(count))
        row("log, import of %d mixes, s" % count, [seconds(program, "log", "import", "site.yaml", "mixes.jsonl")])
        append(os.path.join(build, "tests", "bench", "log_append"), 100 * turns)
        row("log, list of all, s", [seconds(program, "log", "list", "site.yaml") for _ in range(turns)])
        row("log, learn from all, s", [seconds(program, "learn", "site.yaml") for _ in range(turns)], "2")
        beside(program, 40 * turns)
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main(os.path.abspath(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 7,
         int(sys.argv[3]) if len(sys.argv) > 3 else 100000)

#!/usr/bin/env python3
"""How long a log of 100,000 mixes takes: import, one more entry, list, learn, and a mix of a site beside it.

    log.py ALIQUOT [MIXES]      prints seconds; nothing is judged

Made-up mixes of a nursery with five tanks, a pair and a supplement; one reading in twenty is gross.
"""
import json
import os
import random
import shutil
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


def timed(what, *command, times=1):
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
        taken.append(time.perf_counter() - start)
    print("%-28s %8.4f s" % (what, sorted(taken)[len(taken) // 2]))


def main(program, count):
    folder = tempfile.mkdtemp(prefix="aliquot-bench-")
    try:
        os.chdir(folder)
        for name, text in (("site.yaml", SITE), ("leaf.yaml", RECIPE)):
            with open(name, "w", encoding="utf-8") as file:
                file.write(text)
        with open("mixes.jsonl", "w", encoding="utf-8") as file:
            file.writelines(json.dumps(mix) + "\n" for mix in mixes(count))
        timed("mix, no log", program, "mix", "site.yaml", "T0", "--ec", "1.5mS/cm", times=31)
        timed("import %d" % count, program, "log", "import", "site.yaml", "mixes.jsonl")
        timed("add one, whole process", program, "log", "add", "site.yaml", "T0", "--poured", "{A: 24 mL, B: 24 mL}",
              "--ec-after", "1.1mS/cm", times=31)
        timed("list", program, "log", "list", "site.yaml")
        timed("export csv", program, "log", "export", "site.yaml", "--format", "csv")
        timed("learn", program, "learn", "site.yaml", times=3)
        timed("mix, with the log", program, "mix", "site.yaml", "T0", "--ec", "1.5mS/cm", times=31)
    finally:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main(os.path.abspath(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 100000)

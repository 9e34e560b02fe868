#!/usr/bin/env python3
"""A plan that is exported again leaves no event behind: each one of the first export is in the second, newer.

    calendar_again.py PROGRAM       exits 1 where an event of the first export would stay in a calendar as a ghost

The cuttings have no roots on the day of their gate, so the day before is done again and all that follows moves. Then a
job is planned no longer: written over the first export, or told of it, the second calls it off.
"""
import os
import re
import subprocess
import sys
import tempfile

PLAN = ["plan", "--from", "2026-03-02", "--days", "11", "--lot", "{name: basil-14, stuck: 2026-03-02, cuttings: 60}",
        "--timezone", "Europe/Dublin", "--water-ec", "0.2mS/cm",
        "--together", "{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}",
        "--stage", "{name: strike, days: 0-3, mist: {A: 0.5 mL/L, B: 0.5 mL/L}, makes: 500 mL/d}",
        "--stage", "{name: root-in, days: 4-6, gate: half the cuttings show roots, ec: 0.8 mS/cm, makes: 3 L/d}",
        "--stage", "{name: tray, days: 7-10, ec: 1.2 mS/cm, makes: 4 L/d}"]
FAILED = ["--gate", "{stage: root-in, at: 2026-03-06, passed: no}"]


def events(program, words, now):
    """UID to (sequence, start, description) of each event."""
    done = subprocess.run([program] + words + ["--format", "ics"], capture_output=True, check=True,
                          env={**os.environ, "SOURCE_DATE_EPOCH": str(now)})
    text = done.stdout.decode("utf-8").replace("\r\n ", "")
    out = {}
    for event in re.findall(r"BEGIN:VEVENT\r\n(.*?)END:VEVENT", text, re.S):
        lines = dict(line.split(":", 1) for line in event.split("BEGIN:VALARM")[0].strip().split("\r\n"))
        start = next(value for key, value in lines.items() if key.startswith("DTSTART"))
        assert lines["UID"] not in out, "two events of one UID"
        out[lines["UID"]] = (int(lines["SEQUENCE"]), start, lines["DESCRIPTION"])
    return out


TANKS = ["plan", "--from", "2026-03-02", "--days", "7", "--timezone", "Europe/Dublin", "--water-ec", "0.3mS/cm",
         "--together", "{parts: {A: 1, B: 1}, ec: 0.40 mS/cm per mL/L}",
         "--reservoir", "{name: Trays, holds: 12 L, ec: 0.9 mS/cm}"]
TWICE, ONCE = ["--week", "{reservoir: Trays, change: [Mon, Thu]}"], ["--week", "{reservoir: Trays, change: [Mon]}"]


def called_off(text):
    return re.findall(r"UID:(\w+)@aliquot\r\nDTSTAMP:.*\r\nSEQUENCE:(\d+)\r\n(?:.*\r\n){2,4}STATUS:CANCELLED", text)


def export(program, words, now):
    return subprocess.run([program] + words, capture_output=True, text=True,
                          env={**os.environ, "SOURCE_DATE_EPOCH": str(now)})


def vanishes(program, folder, now):
    """Faults of a plan with one job less than its former export."""
    file, kept = os.path.join(folder, "week.ics"), os.path.join(folder, "kept.ics")
    ics = ["--format", "ics"]
    export(program, TANKS + TWICE + ics + ["--output", file], now)
    export(program, TANKS + TWICE + ics + ["--output", kept], now)
    export(program, TANKS + ONCE + ics + ["--output", file], now + 60)
    with open(file, newline="", encoding="utf-8") as written:
        over = called_off(written.read())
    told = export(program, TANKS + ONCE + ics + ["--replaces", kept], now + 60)
    faults = [] if len(over) == 1 else ["written over, %d jobs are called off" % len(over)]
    if called_off(told.stdout.replace("\n", "\r\n")) != over:
        faults.append("told of the former export, it calls off %s" % called_off(told.stdout))
    if "CANCELLED" in export(program, TANKS + ONCE + ics, now + 60).stdout:
        faults.append("called off with no former export")
    lost = export(program, TANKS + ONCE + ics + ["--replaces", file + "x"], now)
    if lost.returncode != 2 or lost.stdout:
        faults.append("a former export that is not there gives exit %d" % lost.returncode)
    wrong = export(program, TANKS + ONCE + ["--replaces", kept], now)
    if wrong.returncode != 2 or "--format ics" not in wrong.stderr:
        faults.append("a text that replaces a calendar gives exit %d" % wrong.returncode)
    return faults


def main(program):
    monday = 1772409600  # 2 March 2026
    first, second = events(program, PLAN, monday), events(program, PLAN + FAILED, monday + 4 * 86400)
    faults = ["the event of %s stays as a ghost" % first[uid][1] for uid in first if uid not in second]
    faults += ["%s is not a newer revision" % first[uid][1] for uid in first
               if uid in second and second[uid][0] <= first[uid][0]]
    faults += ["%s moved to %s" % (first[uid][1], second[uid][1]) for uid in first
               if uid in second and second[uid][1] != first[uid][1]]
    if len(first) != 11 or first.keys() - second.keys() == first.keys():
        faults.append("%d events, not one a day" % len(first))
    changed = sum(first[uid][2] != second[uid][2] for uid in first if uid in second)
    if not changed:
        faults.append("repeating a day changed nothing")
    with tempfile.TemporaryDirectory() as folder:
        faults += vanishes(program, folder, monday)
    print("%d events, then %d, %d of them changed" % (len(first), len(second), changed))
    print("\n".join(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))

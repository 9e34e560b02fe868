#!/usr/bin/env python3
"""kill -9 at random moments of writing: the log stays whole and holds every entry that was acknowledged.

    kill.py ALIQUOT [TIMES]     a few dozen by default

A writer adds entries one after another and says so after each (aliquot log add prints the entry when it is on the
disk). It is killed at a random moment, also in the middle of the making of the file, and the log is checked.
"""
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time

WRITER = r'''
i=0
while :; do
    i=$((i + 1))
    "$1" log add --log "$2" --at 2026-03-02T07:30 --reservoir Trays --volume 12L --who "$3-$i" \
        --poured '{A: 18 mL, B: 18 mL}' --ec-after 0.92mS/cm >/dev/null || exit 1
    echo "$3-$i"
done
'''


def write_until_killed(program, log, name, seconds):
    """Acknowledged entries of a writer whose whole process group is killed after some time."""
    writer = subprocess.Popen(["sh", "-c", WRITER, "writer", program, log, name], stdout=subprocess.PIPE, text=True,
                              start_new_session=True)
    time.sleep(seconds)
    os.killpg(writer.pid, signal.SIGKILL)
    out, _ = writer.communicate()
    return [line for line in out.split("\n")[:-1] if line]


def kept(program, log):
    done = subprocess.run([program, "log", "list", "--log", log], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                          text=True)
    if done.returncode == 2 and "no such log" in done.stderr:
        return ""
    if done.returncode != 0:
        raise SystemExit("the log cannot be read: %s" % done.stderr)
    return done.stdout


def main(program, times):
    folder = tempfile.mkdtemp(prefix="aliquot-kill-")
    dice = random.Random(20260302)
    acknowledged, logs = [], 0
    try:
        for run in range(times):
            if run % 10 == 0:  # a new file, so that its making is hit too
                logs += 1
                log = os.path.join(folder, "%d.log" % logs)
                acknowledged = []
            acknowledged += write_until_killed(program, log, "run%d" % run, dice.uniform(0.001, 0.25))
            listed = kept(program, log)
            missing = [name for name in acknowledged if "; %s\n" % name not in listed]
            if missing:
                raise SystemExit("run %d: %d acknowledged entries are lost: %s" % (run, len(missing), missing[:5]))
            if os.path.exists(log) and os.path.getsize(log):
                checked = subprocess.run([program, "check", log], stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                                         text=True)
                if checked.returncode != 0:
                    raise SystemExit("run %d: the log is damaged: %s" % (run, checked.stderr))
        print("%d kills, %d entries acknowledged in the last log, none lost" % (times, len(acknowledged)))
    finally:
        shutil.rmtree(folder)
    return 0


if __name__ == "__main__":
    sys.exit(main(os.path.abspath(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 30))

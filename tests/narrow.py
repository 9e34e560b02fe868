#!/usr/bin/env python3
"""Every answer of a folder of answers as text: narrow enough for a clip or a phone, and the number first.

    narrow.py PROGRAM FOLDER       asks the questions of FOLDER's *.txt without --format; exits 1 where one is broken

No line is wider than 46 columns, but for a word that does not break. A row that measures something begins with its
number and unit, behind the box to tick. A question leaves nothing on standard output.
"""
import glob
import os
import re
import subprocess
import sys
import unicodedata

sys.dont_write_bytecode = True
import answers  # the reader of such a folder, beside this file

WIDTH = 46
ROW = re.compile(r"\[ \] +(?:[0-9][0-9.,x /+]*\S* |(?:stir|read|wait|rinse|top|throw|pH)\b)")


def columns(text):
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def faults(text):
    for line in text.splitlines():
        if columns(line) > WIDTH and len(line.split()) > 1:
            yield "%d columns: %s" % (columns(line), line)
        if line.startswith("[ ]") and not ROW.match(line):
            yield "a row without its number first: " + line


def main(program, folder):
    env = {**os.environ, "PATH": os.path.dirname(os.path.abspath(program)) + os.pathsep + os.environ["PATH"],
           "SOURCE_DATE_EPOCH": "1772409600", "NO_COLOR": "1"}
    top = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    texts = questions = broken = 0
    for name in sorted(glob.glob(os.path.join(folder, "*.txt"))):
        variables, cases = answers.read(name)
        for case in cases:
            done = subprocess.run(["sh", "-c", variables + case["command"]], cwd=top, env=env, text=True,
                                  stdin=subprocess.DEVNULL, capture_output=True, timeout=60)
            found = list(faults(done.stdout))
            if done.returncode == 2:
                questions += 1
                found += ["a question printed an answer"] if done.stdout else []
                found += [] if done.stderr else ["a question without words"]
            else:
                texts += 1
                found += [] if done.stdout else ["nothing was printed"]
            broken += bool(found)
            for what in found:
                print("%s:%d: %s" % (os.path.basename(name), case["at"], what))
    print("%d texts and %d questions, %d broken" % (texts, questions, broken))
    return 1 if broken or not texts or not questions else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))

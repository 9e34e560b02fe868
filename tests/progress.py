#!/usr/bin/env python3
"""Work of more than a second says on a terminal how far it is, and nowhere else:

    progress.py PROGRAM

A question is held back for a second and a half, with standard error on a pseudo-terminal, then on a pipe.
"""
import os
import pty
import subprocess
import sys
import time

QUESTION = b'{"job":"convert","value":"1 gal-us","to":"L"}\n'


def batch(program, error):
    run = subprocess.Popen([program, "batch"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=error)
    run.stdin.write(QUESTION)
    run.stdin.flush()
    time.sleep(1.5)
    run.stdin.write(QUESTION)
    run.stdin.close()
    answers = run.stdout.read().splitlines()
    run.wait()
    return len(answers)


def on_terminal(program):
    near, far = pty.openpty()
    answered = batch(program, far)
    os.close(far)
    said = b""
    try:
        while True:
            said += os.read(near, 4096)
    except OSError:  # what a terminal says when nobody holds its other end
        return answered, said


def main(program):
    wrong = []
    answered, said = on_terminal(program)
    if answered != 2:
        wrong.append("%d answers, not 2" % answered)
    if b"\rbatch: line 1, 1 s" not in said:
        wrong.append("nothing about the first second: %r" % said)
    if not said.endswith(b" \r"):
        wrong.append("not wiped away: %r" % said)
    read, write = os.pipe()
    answered = batch(program, write)
    os.close(write)
    said = os.read(read, 4096)
    os.close(read)
    if answered != 2 or said:
        wrong.append("on a pipe: %d answers, %r" % (answered, said))
    for fault in wrong:
        print(fault)
    print("2 runs, %d wrong" % len(wrong))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))

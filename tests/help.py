#!/usr/bin/env python3
"""Reads every help of the program as a person at a terminal would, and runs the example that it ends with.

    help.py PROGRAM VERSION       exits 1 where one is too wide, too thin or missing, or a job has no page in the manual
"""
import os
import subprocess
import sys

TOP = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
COLUMNS = 80
FIRST = ["mix", "mist", "plan"]  # the jobs that must be the shortest to type


def run(program, *words):
    done = subprocess.run([program, *words], capture_output=True, text=True, stdin=subprocess.DEVNULL)
    return done.returncode, done.stdout, done.stderr


def wide(what, text):
    return ["%s: wider than %d columns: %s" % (what, COLUMNS, line) for line in text.splitlines() if len(line) > COLUMNS]


def alone(program):
    """`aliquot` alone: five lines, the three first jobs among them, and a usage error."""
    code, out, err = run(program)
    lines = err.splitlines()
    faults = wide("alone", err)
    if code != 2 or out or len(lines) != 5:
        faults.append("alone: exit %d, %d lines, and on standard output %r" % (code, len(lines), out))
    faults += ["alone: no line begins aliquot %s" % job for job in FIRST
               if not any(line.startswith("  aliquot %s " % job) for line in lines)]
    return faults


def commands(program):
    """The names that `aliquot help` lists."""
    _, out, _ = run(program, "help")
    listed = out.split("\n\n", 1)[1]
    return [line.split()[0] for line in listed.splitlines() if line.startswith("  ") and line[2] != " "]


def one(program, name):
    code, out, err = run(program, "help", name)
    faults = wide("help " + name, out)
    if code or err or not out.startswith(name + ": "):
        faults.append("help %s: exit %d, %r" % (name, code, err or out[:60]))
    if run(program, name, "--help") != (code, out, err):
        faults.append("%s --help says something else than help %s" % (name, name))
    lines = out.splitlines()
    for line, after in zip(lines, lines[1:] + [""]):
        if line.startswith("  --") and len(line.split()) == 1 and not after.startswith(" " * 16):
            faults.append("help %s: %s has no word of help" % (name, line.strip()))
    return faults


def example(program, name):
    """The command at the end of a job's help is answered."""
    _, out, _ = run(program, "help", name)
    if "\nFor example\n" not in out:
        return []
    command = out.split("\nFor example\n", 1)[1]
    env = {**os.environ, "PATH": os.path.dirname(os.path.abspath(program)) + os.pathsep + os.environ["PATH"]}
    done = subprocess.run(["sh", "-c", command], env=env, cwd=TOP, capture_output=True, text=True)
    if done.returncode > 1 or not done.stdout or done.stderr:
        return ["help %s: its example exits %d: %s" % (name, done.returncode, done.stderr)]
    return []


def page(program, name):
    """A job, and a command that has options, has a page in the manual."""
    options = "\n  --" in run(program, "help", name)[1]
    there = os.path.exists(os.path.join(TOP, "cli", "manual", "aliquot-%s.1.scd" % name))
    return ["%s has no page in cli/manual" % name] if options and not there else []


def main(program, version):
    faults = alone(program)
    names = commands(program)
    if len(names) < 8 or not all(run(program, "help")[1].count("\n  %s " % name) for name in names):
        faults.append("aliquot help lists only " + " ".join(names))
    for name in names:
        faults += one(program, name) + example(program, name) + page(program, name)
    if run(program, "--version") != (0, "aliquot %s\n" % version, ""):
        faults.append("--version: %r" % (run(program, "--version"),))
    if run(program, "help", "mxi")[0] != 2 or run(program, "help", "mxi")[1]:
        faults.append("help of no command is no usage error")
    for fault in faults:
        print(fault)
    print("%d helps, %d faults" % (len(names), len(faults)))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))

#!/usr/bin/env python3
"""Runs the examples of the documentation, so that none of them can rot.

    manual.py PROGRAM FILE...            compares; exits 1 where an output differs
    manual.py --bless PROGRAM FILE...    rewrites the outputs; the diff is read like code

An example is a fenced block marked `console`: a line that begins with "$ " is a command, run by sh from the top of the
repository with PROGRAM as `aliquot`; the lines after it are what it prints, on standard output and error together. A
line of "..." alone stands for any lines, and an output that has one before its end is not rewritten. Commands that
install are not run: they stand in blocks marked `sh`.

In a manual page (.scd) a fenced block is an example where its first line begins with "$ ", and a document where that
begins with "aliquot:": it must be right. Its commands may write files, so they run in a copy of the examples.
"""
import glob
import os
import shutil
import subprocess
import sys
import tempfile

TOP = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))


def run(program, command, folder=TOP):
    env = {**os.environ, "PATH": os.path.dirname(os.path.abspath(program)) + os.pathsep + os.environ["PATH"],
           "SOURCE_DATE_EPOCH": "1773014400", "NO_COLOR": "1"}  # Mon 9 Mar 2026
    done = subprocess.run(["sh", "-c", command], cwd=folder, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                          stdin=subprocess.DEVNULL, text=True, timeout=60)
    return [line.rstrip() for line in done.stdout.splitlines()]


def same(wanted, got):
    """Whether the lines are those, "..." standing for any. A run of lines between two of them is found where it first is."""
    if "..." not in wanted:
        return got == wanted
    kept = wanted.index("...")
    if got[:kept] != wanted[:kept]:
        return False
    wanted, got = wanted[kept + 1:], got[kept:]
    if not wanted:
        return True
    ends = "..." not in wanted
    run = wanted if ends else wanted[:wanted.index("...")]
    starts = [len(got) - len(run)] if ends else range(len(got) - len(run) + 1)
    at = next((at for at in starts if at >= 0 and got[at:at + len(run)] == run), None)
    return at is not None and same(wanted[len(run):], got[at + len(run):])


def renewed(wanted, got):
    if "..." in wanted[:-1]:
        return wanted
    if "..." in wanted:
        return got[:wanted.index("...")] + ["..."]
    return got


def faults_of(program, name, text):
    """What `check` says of a document that a page shows. The recipes that a site names are beside it in examples."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "shown.yaml")
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
        for beside in glob.glob(os.path.join(TOP, "examples", "*", "two-part-leaf.yaml")):
            shutil.copy(beside, folder)
        return ["%s: %s" % (name, line) for line in run(program, "aliquot check '%s'" % path)
                if not line.endswith(": right")]


def walk(program, name, bless):
    if not name.endswith(".scd"):
        return walk_in(TOP, program, name, bless)
    with tempfile.TemporaryDirectory() as folder:
        for copied in ["examples", "recipes"]:
            shutil.copytree(os.path.join(TOP, copied), os.path.join(folder, copied))
        return walk_in(folder, program, name, bless)


def walk_in(folder, program, name, bless):
    """Yields nothing; returns the file's lines as they should be, the number of examples, and the complaints."""
    with open(os.path.join(TOP, name), encoding="utf-8") as file:
        lines = file.read().split("\n")
    out, complaints, count, at = [], [], 0, 0
    while at < len(lines):
        out.append(lines[at])
        page = name.endswith(".scd") and lines[at].strip() == "```" and at + 1 < len(lines)
        if page and lines[at + 1].startswith("aliquot:"):
            text = "\n".join(lines[at + 1:lines.index("```", at + 1)]) + "\n"
            count += 1
            complaints += faults_of(program, "%s:%d" % (name, at + 2), text)
        if lines[at].strip() != "```console" and not (page and lines[at + 1].startswith("$ ")):
            at += 1
            continue
        at += 1
        while lines[at].strip() != "```":
            command = lines[at]
            first = at + 1
            while command.endswith("\\"):
                at += 1
                command = command[:-1] + lines[at].lstrip("> ")
            out += lines[first - 1:at + 1]
            at += 1
            wanted = []
            while lines[at].strip() != "```" and not lines[at].startswith("$ "):
                wanted.append(lines[at])
                at += 1
            while wanted and not wanted[-1].strip():
                wanted.pop()
            got = run(program, command[2:], folder)
            while got and not got[-1]:
                got.pop()
            count += 1
            if not same(wanted, got):
                complaints.append("%s:%d: %s\n--- written\n%s\n--- printed\n%s" %
                                  (name, first, command, "\n".join(wanted), "\n".join(got)))
            out += renewed(wanted, got) if bless else wanted
            if lines[at].startswith("$ "):
                out.append("") if not bless or got else None
    return out, count, complaints


def main(words):
    bless = words[:1] == ["--bless"]
    program, names = words[bless], words[bless + 1:]
    failed = count = 0
    for name in names:
        out, here, complaints = walk(program, name, bless)
        count += here
        if bless:
            with open(os.path.join(TOP, name), "w", encoding="utf-8") as file:
                file.write("\n".join(out))
        else:
            failed += len(complaints)
            for complaint in complaints:
                print(complaint)
    print("%d examples, %d differ" % (count, failed))
    return 1 if failed or not count else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

#!/usr/bin/env python3
"""The same bytes in every country: a decimal comma, a dotless i and another order of letters change nothing.

    abroad.py PROGRAM FOLDER       asks the questions of FOLDER's *.txt at home and abroad, in every format

PROGRAM is aliquot with tests/abroad/at_start.c, which enters the locale of the environment. The locales are made here;
exits 77, skipped, where they cannot be.
"""
import glob
import os
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
import answers  # the reader of such a folder, beside this file

ABROAD = {"de_DE": "0,5", "tr_TR": "0,5"}  # and how each writes a half
FORMATS = ["text", "json", "csv", "html", "ics"]
OTHERS = ["help mix", "schema batch", "completion bash", "new site --volume 12.5L", "check examples/fernhollow/site.yaml",
          "mix --volume 1,5L", "mix --volumE 60L", "convert 1.23456789012345678L --to mL", "convert 0.5IN --to mm", "plan examples/fernhollow/site.yaml --days 9"]
TOP = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))


def make(folder, name):
    try:
        subprocess.run(["localedef", "-i", name, "-f", "UTF-8", os.path.join(folder, name + ".UTF-8")],
                       stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
    except FileNotFoundError:
        pass
    return os.path.isdir(os.path.join(folder, name + ".UTF-8"))


def environment(program, folder, name):
    path = os.path.dirname(os.path.abspath(program)) + os.pathsep + os.environ["PATH"]
    # a sanitizer's search for leaks would double the time; other tests do it on the same code
    return {"PATH": path, "SOURCE_DATE_EPOCH": "1772409600", "LOCPATH": folder, "LC_ALL": name,
            "ASAN_OPTIONS": "detect_leaks=0"}


def run(command, env):
    done = subprocess.run(["sh", "-c", command], cwd=TOP, env=env, stdin=subprocess.DEVNULL, capture_output=True, timeout=60)
    return done.returncode, done.stdout, done.stderr


def commands(folder):
    """Each question once, in a format of its own by turns, so that each format is asked often."""
    for name in sorted(glob.glob(os.path.join(folder, "*.txt"))):
        variables, cases = answers.read(name)
        for at, case in enumerate(cases):
            yield "%s%s --why --format %s" % (variables, case["command"], FORMATS[at % len(FORMATS)])
    for words in OTHERS:
        yield "aliquot " + words


def main(program, folder):
    with tempfile.TemporaryDirectory() as locales:
        if not all(make(locales, name) for name in ABROAD):
            print("skipped: localedef cannot make", " and ".join(ABROAD))
            return 77
        home = environment(program, locales, "C")
        asked = list(commands(folder))
        wanted = [run(command, home) for command in asked]
        faults = []
        for name, half in ABROAD.items():
            env = environment(program, locales, name + ".UTF-8")
            if run("aliquot", {**env, "SHOW_DECIMAL_POINT": "1"})[1].decode() != half + "\n":
                faults.append("%s is not entered" % name)
            faults += ["%s: %s" % (name, command.splitlines()[-1]) for command, want in zip(asked, wanted)
                       if run(command, env) != want]
    for fault in faults:
        print(fault)
    answered = sum(code < 2 and out != b"" for code, out, _ in wanted)
    print("%d commands, %d of them answered, %d differ abroad" % (len(asked), answered, len(faults)))
    return 1 if faults or not answered else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))

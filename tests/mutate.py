#!/usr/bin/env python3
"""Changes one operator or constant at a time, and counts how many of the changes the tests notice.

    mutate.py BUILD [--sample N] [--seed N] [FILE...]       lib/solve/*.c, lib/measure/*.c and lib/sheet/caution.c

BUILD is a built folder with the archive of the library. A change is compiled alone and linked in front of that archive
with each test of its room, and then of the jobs and the laws, until one fails. A change that makes the compiler
complain is left out. Ends with the share that was noticed, and lists the others: each is a test to write, or no change
at all. Exits 1 below --least (90 %).
"""
import argparse
import glob
import json
import os
import random
import re
import shlex
import shutil
import subprocess
import sys
import tempfile

TOP = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
SWAPS = [("<=", "<"), (">=", ">"), ("==", "!="), ("!=", "=="), (" < ", " <= "), (" > ", " >= "), ("&&", "||"),
         ("||", "&&"), (" + ", " - "), (" - ", " + "), (" * ", " / "), (" / ", " * "), ("++", "--"), (" += ", " -= "),
         (" -= ", " += "), ("true", "false"), ("false", "true"), ("fmin(", "fmax("), ("fmax(", "fmin("), ("!", "")]
SECONDS = 20


def code_only(text):
    """The text with comments, strings and preprocessor lines blanked, so that places stay."""
    blank = lambda m: re.sub(r"[^\n]", " ", m.group())
    text = re.sub(r"/\*.*?\*/|//[^\n]*", blank, text, flags=re.S)
    text = re.sub(r'"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', blank, text)
    return re.sub(r"^[ \t]*#(?:[^\n\\]|\\.|\\\n)*", blank, text, flags=re.M)


def mutants_of(path):
    """(place, old, new) of every change."""
    with open(path, encoding="utf-8") as file:
        text = file.read()
    code, found = code_only(text), []
    for old, new in SWAPS:
        for m in re.finditer(re.escape(old), code):
            at, around = m.start(), code[max(0, m.start() - 1):m.end() + 1]
            if old == "!" and (around.endswith("=")):
                continue
            if old in ("true", "false") and re.match(r"\w", around[0] + " ") and around[0] != " ":
                continue
            found.append((at, old, new))
    for m in re.finditer(r"(?<![\w.\[])(\d+(?:\.\d+)?(?:e-?\d+)?)(?![\w.\]])", code):
        old = m.group(1)
        new = "1" if old == "0" else "0" if old == "1" else repr(float(old) * 1.5) if re.search(r"[.e]", old) \
            else str(int(old) + 1)
        found.append((m.start(1), old, new))
    return text, found


class Room:
    """The tests of one room, and how to link them with a changed library."""

    def __init__(self, build, name):
        self.build = build
        listed = json.loads(subprocess.run(["meson", "introspect", build, "--tests"], capture_output=True, text=True,
                                           check=True).stdout)
        self.tests = []
        for suite in dict.fromkeys([name, "job", "laws"]):
            self.tests += sorted({t["cmd"][0] for t in listed if "aliquot:" + suite in t["suite"] and
                                  os.path.basename(t["cmd"][0]).startswith("test_")})
        commands = subprocess.run(["ninja", "-C", build, "-t", "commands"] +
                                  [os.path.relpath(t, build) for t in self.tests], capture_output=True, text=True,
                                  check=True).stdout.splitlines()
        self.link = {t: next(c for c in commands if "-o %s " % os.path.relpath(t, build) in c) for t in self.tests}


def compile_command(build, path):
    with open(os.path.join(build, "compile_commands.json"), encoding="utf-8") as file:
        for entry in json.load(file):
            if os.path.realpath(os.path.join(entry["directory"], entry["file"])) == os.path.realpath(path) and \
                    ".a.p" in entry["output"]:
                return entry
    with open(os.path.join(build, "compile_commands.json"), encoding="utf-8") as file:
        return next(e for e in json.load(file)
                    if os.path.realpath(os.path.join(e["directory"], e["file"])) == os.path.realpath(path))


class Workshop:
    def __init__(self, build):
        self.build, self.work = build, tempfile.mkdtemp()
        self.rooms = {}

    def room(self, name):
        if name not in self.rooms:
            self.rooms[name] = Room(self.build, name)
        return self.rooms[name]

    def compile(self, path, text):
        """The object of a changed file; None where the compiler complains."""
        changed, made = os.path.join(self.work, os.path.basename(path)), os.path.join(self.work, "changed.o")
        with open(changed, "w", encoding="utf-8") as file:
            file.write(text)
        words = shlex.split(compile_command(self.build, path)["command"])
        words[words.index("-o") + 1] = made
        words[-1] = changed
        words = [w for i, w in enumerate(words) if w not in ("-MD",) and not
                 (w in ("-MQ", "-MF") or (i and words[i - 1] in ("-MQ", "-MF")))]
        words += ["-I", os.path.join(TOP, os.path.dirname(os.path.relpath(path, TOP))), "-O1", "-Werror"]
        done = subprocess.run(words, cwd=self.build, capture_output=True)
        return made if done.returncode == 0 else None

    def noticed_by(self, room, made):
        """The test that fails; None: all pass."""
        for test in room.tests:
            program = os.path.join(self.work, "test")
            words = shlex.split(room.link[test])
            words[words.index("-o") + 1] = program
            words.insert(words.index("lib/libaliquot.a"), made)
            if subprocess.run(words, cwd=self.build, capture_output=True).returncode:
                return "the linker"
            try:
                done = subprocess.run([program], cwd=self.build, capture_output=True, timeout=SECONDS)
            except subprocess.TimeoutExpired:
                return os.path.basename(test) + ", which does not end"
            if done.returncode:
                return os.path.basename(test)
        return None


def main():
    asked = argparse.ArgumentParser()
    asked.add_argument("build")
    asked.add_argument("files", nargs="*")
    asked.add_argument("--sample", type=int, default=0)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--least", type=float, default=90)
    asked = asked.parse_args()
    files = asked.files or sorted(glob.glob(os.path.join(TOP, "lib/solve/*.c")) +
                                  glob.glob(os.path.join(TOP, "lib/measure/*.c"))) + \
        [os.path.join(TOP, "lib/sheet/caution.c")]
    everything = []
    for path in files:
        text, found = mutants_of(path)
        everything += [(os.path.abspath(path), text) + m for m in found]
    total = len(everything)
    if asked.sample:
        everything = random.Random(asked.seed).sample(everything, min(asked.sample, total))
    shop = Workshop(os.path.abspath(asked.build))
    tried = noticed = 0
    for path, text, at, old, new in everything:
        made = shop.compile(path, text[:at] + new + text[at + len(old):])
        if not made:
            continue
        tried += 1
        name = os.path.relpath(path, TOP)
        if shop.noticed_by(shop.room(name.split("/")[1]), made):
            noticed += 1
        else:
            line = text.count("\n", 0, at) + 1
            print("%s:%d: %r for %r: %s" % (name, line, new, old, text.split("\n")[line - 1].strip()), flush=True)
    shutil.rmtree(shop.work)
    share = 100 * noticed / tried if tried else 0
    print("%d places, %d changes tried, %d noticed: %.1f %%" % (total, tried, noticed, share))
    return 0 if share >= asked.least else 1


if __name__ == "__main__":
    sys.exit(main())

#!/usr/bin/env python3
"""Each room of lib includes only itself and the rooms above it; GSL stays in lib/solve; cli includes aliquot.h only;
each public header stands by itself.

    rooms.py COMPILER [ARGUMENT...]     exits 1 where a door is where none should be
"""
import os
import re
import subprocess
import sys

TOP = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
DOORS = {
    "base": "",
    "measure": "base",
    "document": "base measure",
    "chemistry": "base measure",
    "model": "base measure document chemistry",
    "solve": "base measure chemistry model",
    "sheet": "base measure document chemistry model solve",
    "store": "base measure model sheet",
    "job": "base measure document chemistry model solve sheet",
    "render": "base measure document chemistry model sheet job",
}
INCLUDE = re.compile(r'^\s*#\s*include\s+(["<])([^">]+)[">]', re.M)


def files(folder, ending):
    for path, _, names in sorted(os.walk(os.path.join(TOP, folder))):
        for name in sorted(names):
            if name.endswith(ending):
                yield os.path.relpath(os.path.join(path, name), TOP)


def doors():
    for name in files("lib", (".c", ".h")):
        parts = name.split("/")
        if len(parts) != 3:
            continue
        allowed = set(DOORS[parts[1]].split()) | {parts[1]}
        with open(os.path.join(TOP, name), encoding="utf-8") as file:
            text = file.read()
        for mark, what in INCLUDE.findall(text):
            if mark == '"' and what.split("/")[0] not in allowed:
                yield "%s includes %s, which is not a room above %s" % (name, what, parts[1])
            if what.startswith("gsl/") and parts[1] != "solve":
                yield "%s includes %s: GSL belongs to lib/solve" % (name, what)
    for name in files("cli", (".c", ".h")):
        with open(os.path.join(TOP, name), encoding="utf-8") as file:
            text = file.read()
        for mark, what in INCLUDE.findall(text):
            if mark == '"' and "/" in what:
                yield "%s includes %s: the program includes aliquot.h only" % (name, what)


def alone(compiler):
    with open(os.path.join(TOP, "lib/aliquot.h"), encoding="utf-8") as file:
        public = [what for mark, what in INCLUDE.findall(file.read()) if mark == '"']
    for header in public + ["aliquot.h"]:
        done = subprocess.run(compiler + ["-std=c11", "-Wall", "-Wextra", "-Wpedantic", "-Werror", "-fsyntax-only",
                                          "-I", os.path.join(TOP, "lib"), "-x", "c", "-"],
                              input='#include "%s"\n' % header, text=True, stderr=subprocess.PIPE)
        if done.returncode:
            yield "%s does not stand by itself:\n%s" % (header, done.stderr)
    print("%d public headers compiled alone" % len(public))


def main(compiler):
    complaints = list(doors()) + list(alone(compiler))
    for complaint in complaints:
        print(complaint)
    return 1 if complaints else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:] or ["cc"]))

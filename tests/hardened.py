#!/usr/bin/env python3
"""What was built resists what was asked of the compiler, read from the built files and not from the flags.

    hardened.py PROGRAM LIBRARY ARCHIVE OPTIMISED      OPTIMISED: "yes" where sources are fortified

Fortified sources need an optimiser, shadow stacks and branch tracking an x86 with ELF notes; all else holds in every
build. Needs readelf and nm; exits 77, skipped, without them.
"""
import os
import re
import shutil
import subprocess
import sys


def say(*words):
    return subprocess.run(words, capture_output=True, text=True, check=True, env={**os.environ, "LC_ALL": "C"}).stdout


def look_at_segments(path, program):
    """The faults of a linked file: what the loader will map, and how."""
    text = say("readelf", "-W", "-h", "-l", "-d", path)
    flags = " ".join(line.split(":")[-1] for line in text.splitlines() if "(FLAGS" in line)
    stack = re.search(r"GNU_STACK( +0x\w+){5} +(\S+) ", text)
    if not re.search(r"Type: +DYN", text) or (program and not re.search(r"\bPIE\b", flags)):
        yield "is loaded at one address"
    if "GNU_RELRO" not in text or not re.search(r"\bNOW\b", text):
        yield "keeps its table of functions writable"
    if not stack or "E" in stack.group(2):
        yield "has a stack that can be run"
    if re.search(r"LOAD( +0x\w+){5} +RWE ", text):
        yield "has memory that can be both written and run"
    if "TEXTREL" in text:
        yield "writes to its own code"
    if "RPATH" in text or "RUNPATH" in text:
        yield "looks for libraries where its builder had them"


def look_at_names(names, optimised):
    if "__stack_chk_fail" not in names:
        yield "does not guard its stack"
    if optimised and not re.search(r"__\w*printf_chk", names):
        yield "does not check the room of what it prints into"


def look_at_archive(archive):
    """Each object by itself: a linker drops the note when one object of the C library lacks it."""
    if "X86-64" not in say("readelf", "-h", archive):
        return
    objects = len(say("ar", "t", archive).splitlines())
    tracked = len(re.findall(r"IBT, SHSTK", say("readelf", "-n", archive)))
    if tracked != objects:
        yield "%d of %d objects track no branches" % (objects - tracked, objects)


def main(program, library, archive, optimised):
    if not all(shutil.which(tool) for tool in ("readelf", "nm", "ar")):
        print("skipped: no readelf, nm and ar")
        return 77
    optimised = optimised == "yes"
    faults = {program: list(look_at_segments(program, True)),
              library: list(look_at_segments(library, False)) + list(look_at_names(say("nm", "-D", library), optimised)),
              archive: list(look_at_names(say("nm", archive), optimised)) + list(look_at_archive(archive))}
    for path, found in faults.items():
        for fault in found:
            print("%s %s" % (os.path.basename(path), fault))
    wrong = sum(map(len, faults.values()))
    print("3 files read, %d faults" % wrong)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))

#!/usr/bin/env python3
"""Pours thousands of answers forward, each in arithmetic that knows nothing of the program.

    laws.py PROGRAM MODULE [SEED]      holds every law of MODULE; exits 1 where one is broken
"""
import importlib
import sys

import forward


def main(program, module, seed="1"):
    laws = importlib.import_module(module).LAWS
    broken = held = 0
    for law in laws:
        try:
            held += forward.hold(program, law, int(seed))
        except forward.Broken as error:
            broken += 1
            print("broken: %s" % error)
    print("%d laws over %d answers, %d broken" % (len(laws), held, broken))
    return 1 if broken or not held else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))

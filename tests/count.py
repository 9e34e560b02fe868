#!/usr/bin/env python3
"""Counts meson's log: "N passed, N failed", skipped ones named. Exits 1 on a failure or when nothing ran."""
import json
import sys


def main(path):
    passed, failed, skipped = 0, 0, []
    with open(path, encoding="utf-8") as log:
        for line in log:
            test = json.loads(line)
            if test["result"] in ("OK", "EXPECTEDFAIL"):
                passed += 1
            elif test["result"] == "SKIP":
                skipped.append(test["name"])
            else:
                failed += 1
                print("failed: " + test["name"])
    if skipped:
        print("skipped for want of a reference library: " + ", ".join(skipped))
    print("%d passed, %d failed%s" % (passed, failed, ", %d skipped" % len(skipped) if skipped else ""))
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))

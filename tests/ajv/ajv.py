#!/usr/bin/env python3
"""Holds every answer, batch line and document against the schemas once more, with ajv (npm) for a second opinion:

    ajv.py PROGRAM BUILD

Exits 77, skipped, where Node or the package cannot be had; in CI that is a failure.
"""
import json
import os
import shutil
import subprocess
import sys

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.dirname(HERE))
import schemas  # noqa: E402  what there is to check


def skip(why):
    print(why)
    sys.exit(1 if os.environ.get("CI") else 77)


def install(work):
    """The package named by package-lock.json, beside the script, once."""
    os.makedirs(work, exist_ok=True)
    for name in ("package.json", "package-lock.json", "check.mjs"):
        shutil.copy(os.path.join(HERE, name), work)
    if not (shutil.which("node") and shutil.which("npm")):
        skip("node or npm is not installed")
    if not os.path.isdir(os.path.join(work, "node_modules", "ajv")):
        done = subprocess.run(["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund"], cwd=work,
                              stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=240)
        if done.returncode:
            skip("npm could not install what package-lock.json names: " + done.stderr[-400:])


def published(program, name):
    return json.loads(subprocess.run([program, "schema", name], capture_output=True, check=True).stdout)


def right(program):
    for name, answer in [*schemas.sheets(program), *schemas.lines("out"), *schemas.unanswered(program),
                         schemas.learned(program)]:
        yield "sheet", name, answer
    for kind in ("recipe", "site"):
        for name, typed, texts in schemas.documents(kind):
            yield kind, name, typed
            yield kind, name + ", read as texts", texts


def main(program, build):
    work = os.path.join(build, "ajv")
    install(work)
    asked = {"schemas": {name: published(program, name) for name in ("sheet", "batch", "recipe", "site")},
             "things": list(right(program)),
             "wrong": [("sheet", "an empty answer", {}), ("batch", "no job of ours", {"job": "mxi"}),
                       ("batch", "a key misspelt", {"job": "acid", "volum": "200 L"}),
                       ("recipe", "a key unknown", {"aliquot": "recipe 1", "name": "x", "colour": "red"}),
                       ("site", "a head of a recipe", {"aliquot": "recipe 1", "name": "x"})]}
    return subprocess.run(["node", "check.mjs"], cwd=work, input=json.dumps(asked), text=True, timeout=300).returncode


if __name__ == "__main__":
    sys.exit(main(os.path.abspath(sys.argv[1]), sys.argv[2]))

#!/usr/bin/env python3
"""From nothing to a first own sheet, as a newcomer goes: `aliquot new`, by options and at a terminal.

    newcomer.py PROGRAM       exits 1 where a step fails
"""
import json
import os
import pty
import select
import subprocess
import sys
import tempfile

STARTERS = os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "cli", "starter")
ENV = {**os.environ, "SOURCE_DATE_EPOCH": "1772409600", "NO_COLOR": "1"}  # Mon 2 Mar 2026


def run(folder, words):
    done = subprocess.run(words, cwd=folder, env=ENV, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=20)
    return done.returncode, done.stdout, done.stderr


def pour(folder, program, *words):
    """What a mix pours, by part, in mL."""
    code, out, err = run(folder, [program, "mix", *words, "--format", "json"])
    if code:
        return err or "exit %d" % code
    return {row["part"]: round(row["exact"]["value"], 1) for row in json.loads(out)["rows"] if row["do"] == "pour"}


def three_commands(program, folder):
    """(1.6 - 0.30) / 0.40 x 20 = 65 mL of each: mixed in the third command."""
    for words in (["new", "recipe", "feed"], ["new", "site", "home"]):
        if run(folder, [program, *words]) != (0, "", ""):
            yield "%s: %s" % (" ".join(words), run(folder, [program, *words]))
    poured = pour(folder, program, "home.yaml", "Reservoir")
    if poured != {"Part A": 65.0, "Part B": 65.0}:
        yield "the first sheet pours %s" % poured
    code, out, _ = run(folder, [program, "plan", "home.yaml", "--days", "7"])
    if code or "Reservoir" not in out:
        yield "no plan from the starter"
    code, out, err = run(folder, [program, "check", "feed.yaml", "home.yaml", os.path.join(STARTERS, "feed.yaml"),
                                  os.path.join(STARTERS, "site.yaml")])
    if code or err or out.count(": right\n") != 4:
        yield "check: " + err


def by_options(program, folder):
    """5 gal-us is 18.93 L: (2.0 - 0.5) / 0.3 x 18.93 = 94.6 mL of each."""
    recipe = ["--name", 'Nell\'s "leaf": 2', "--gallon", "us", "--rate", "1-2 tsp/gal", "--slope", "0.3 mS/cm per mL/L",
              "--ec", "2.0 mS/cm"]
    site = ["--name", "# no, {a} site", "--gallon", "us", "--volume", "5 gal", "--water-ec", "350ppm", "--ppm", "700",
            "--scale", "ppm-700", "--recipe", "sub/leaf, two.yaml"]
    os.mkdir(os.path.join(folder, "sub"))
    for words in (["recipe", "sub/leaf, two.yaml", *recipe], ["site", "tunnel", *site]):
        code, out, err = run(folder, [program, "new", *words])
        if code or out or err:
            yield "new %s: %s" % (words, err)
    poured = pour(folder, program, "tunnel.yaml", "Reservoir", "--over-label", "to see the options arrive")
    if poured != {"Part A": 94.6, "Part B": 94.6}:
        yield "by options it pours %s" % poured
    code, out, _ = run(folder, [program, "mix", "tunnel.yaml", "Reservoir"])
    if "# no, {a} site" not in out:
        yield "the name of the site does not stand on its sheet"
    with open(os.path.join(folder, "tunnel.yaml")) as file:
        if "aliquot mix tunnel.yaml Reservoir" not in file.read():
            yield "the starter does not name itself"


def refusals(program, folder):
    with open(os.path.join(folder, "kept.yaml"), "w") as file:
        file.write("mine\n")
    wrong = {
        ("site", "kept"): "there already", ("site", "kept.yaml"): "there already", (): "recipe", ("tank",): "recipe",
        ("recipe", "--volume", "5 L"): "no option", ("site", "--volume", "5"): "no unit", ("site", "--volume", "5 gal"): "imperial",
        ("recipe", "--ec", "900 mS/cm"): "at most", ("site", "a", "b"): "too many", ("site", "--format", "json"): "no option",
        ("site", "nowhere/site"): "nowhere/site.yaml",
    }
    for words, says in wrong.items():
        code, out, err = run(folder, [program, "new", *words])
        if code not in (2, 3) or out or says not in err:
            yield "new %s: exit %d, %s" % (" ".join(words), code, err or out)
    with open(os.path.join(folder, "kept.yaml")) as file:
        if file.read() != "mine\n":
            yield "a file was written over"
    if os.path.exists(os.path.join(folder, "a.yaml")):
        yield "a refused starter was written"


def at_terminal(folder, words, answers):
    """What appears on a terminal where the answers are typed, one after each question; and the exit code."""
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(folder)
        os.execve(words[0], words, ENV)
    seen = b""
    answers = list(answers)
    while select.select([terminal], [], [], 20)[0]:
        try:
            some = os.read(terminal, 4096)
        except OSError:
            break
        if not some:
            break
        seen += some
        if seen.endswith(b"] ") and answers:
            os.write(terminal, answers.pop(0).encode() + b"\n")
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), seen.decode()


def asked(program, folder):
    """Five questions; one is answered wrongly first; two are left as they are. (1.6 - 0.2) / 0.40 x 30 = 105 mL."""
    os.mkdir(os.path.join(folder, "asked"))
    folder = os.path.join(folder, "asked")
    code, seen = at_terminal(folder, [program, "new", "site", "home"], ["", "30", "30 L", "0.2 mS/cm", "", ""])
    if code or seen.count("?") != 6 or "no unit" not in seen:
        yield "at a terminal: exit %d\n%s" % (code, seen)
    code, seen = at_terminal(folder, [program, "new", "recipe", "feed"], ["Leaf", "us", "", "", "1.6 mS/cm"])
    if code or seen.count("?") != 5:
        yield "at a terminal: exit %d\n%s" % (code, seen)
    poured = pour(folder, program, "home.yaml", "Reservoir")
    if poured != {"Part A": 105.0, "Part B": 105.0}:
        yield "after the questions it pours %s" % poured
    code, seen = at_terminal(folder, [program, "new", "site", "late", "--gallon", "us", "--volume", "9 gal", "--scale", "EC"],
                             ["\x04"])
    if code != 2 or seen.count("?") != 1 or os.path.exists(os.path.join(folder, "late.yaml")):
        yield "given up: exit %d\n%s" % (code, seen)


def main(program):
    program = os.path.abspath(program)
    faults = []
    with tempfile.TemporaryDirectory() as folder:
        for step in (three_commands, by_options, refusals, asked):
            faults += ["%s: %s" % (step.__name__, fault) for fault in step(program, folder)]
    for fault in faults:
        print(fault)
    print("%d faults" % len(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))

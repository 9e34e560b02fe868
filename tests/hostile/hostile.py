#!/usr/bin/env python3
"""Hostile inputs and what must happen to each, over every format; and what the worst of them cost.

    hostile.py PROGRAM

A case is a command in a folder of its own files. It must end with the exit status that is said, say the words that are
said, take under a second of processor time and 64 MiB, and write nothing that its reader would obey: no control byte, no
mark that turns the direction of text, no cell that a spreadsheet runs, no markup, no calendar line of its own.
"""
import csv
import html.parser
import io
import json
import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile

MIB = 1 << 20
SECONDS, BYTES = 1.0, (64 + 4) * MIB  # 64 for the document, 4 for the program that reads it
FORMATS = ["text", "json", "csv", "html", "ics"]
TURNS = re.compile("[\u200e\u200f\u202a-\u202e\u2066-\u2069]")

RECIPE = "aliquot: recipe 1\nparts:\n"
SITE = "aliquot: site 1\n"
TANK = "reservoirs: [{name: Tank, holds: 12 L, recipe: leaf}]\n"


def fill(piece, head="", tail=""):
    """A document of 1 MiB that repeats `piece`, numbered where it has a %d."""
    out, size, n = [head], len(head) + len(tail), 0
    while True:
        text = piece % n if "%d" in piece else piece
        size += len(text.encode())
        if size > MIB:
            return "".join(out) + tail
        out.append(text)
        n += 1


# name, document, exit statuses, words of the complaint ("": it is right, or nothing is sure but the ceilings)
DOCUMENTS = [
    ("aliases that multiply", "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n", (1, 2), "anchor"),
    ("an alias of itself", "&a [*a]", (1, 2), "anchor"),
    ("a merge key", "aliquot: recipe 1\n<<: {a: 1}\n", (1, 2), "<<"),
    ("a tag that builds an object", "!!python/object:os.system [rm]\n", (1, 2), "tag"),
    ("two documents", "aliquot: recipe 1\n---\naliquot: recipe 1\n", (1, 2), "document"),
    ("a key twice", "aliquot: recipe 1\nname: a\nname: b\n", (1, 2), "twice"),
    ("brackets half a million deep", "[" * (MIB // 2), (1, 2), "32"),
    ("braces a quarter million deep", "{a: " * (MIB // 4), (1, 2), "32"),
    ("dashes a quarter million deep", "- " * (MIB // 4), (1, 2), "32"),
    ("a list of 1 MiB", fill("- a\n"), (1, 2), "100000 values"),
    ("a flow list of 1 MiB", fill("a,", "[", "]"), (1, 2), "100000 values"),
    ("a hundred thousand keys", fill("k%d: 1\n"), (1, 2), ""),
    ("one text of 1 MiB", fill("a", "name: "), (1, 2), ""),
    ("one quoted text of 1 MiB", fill("\\x41", 'name: "', '"'), (1, 2), ""),
    ("one key of 1 MiB", fill("a", "", ": 1"), (1, 2), ""),
    ("a comment of 1 MiB", fill("#"), (1, 2), ""),
    ("line breaks", fill("\n"), (1, 2), ""),
    ("spaces", fill(" "), (1, 2), ""),
    ("question marks", fill("? "), (1, 2), ""),
    ("empty documents", fill("---\n"), (1, 2), ""),
    ("directives", fill("%YAML 1.1\n"), (1, 2), ""),
    ("a folded text of lines", fill("  a\n", "name: >\n"), (1, 2), ""),
    ("parts of one name", fill("  - {name: A, rate: 1-2 mL/L}\n", RECIPE), (1, 2), ""),
    ("parts of many names", fill("  - {name: P%d, rate: 1-2 mL/L}\n", RECIPE), (0, 1, 2), ""),
    ("parts with a wrong unit each", fill("  - {name: P%d, rate: 1 mLL/L}\n", RECIPE), (1, 2), "more"),
    ("parts with a wrong key each", fill("  - {nmae: P%d}\n", RECIPE), (1, 2), "more"),
    ("a group of many", RECIPE + "  - {name: A, rate: 1 mL/L}\n" +
     fill("B%d: 1, ", "together:\n  - parts: {", "A: 1}\n"), (1, 2), ""),
    ("stages that overlap", fill("  - {name: s%d, days: 0-9}\n", RECIPE + "  - {name: A, rate: 1 mL/L}\nstages:\n"),
     (1, 2), ""),
    ("tanks of many names", fill("  - {name: T%d, holds: 1 L}\n", SITE + "reservoirs:\n"), (0, 1, 2), ""),
    ("tanks that name no water", fill("  - {name: T%d, holds: 1 L, water: w}\n", SITE + "reservoirs:\n"), (1, 2), "w"),
    ("formulas", fill("  - {name: P%d, formula: Ca(NO3)2.4H2O}\n", RECIPE), (0, 1, 2), ""),
    ("a formula that nests", RECIPE + "  - {name: A, formula: %sH%s}\n" % ("(" * 9999, ")" * 9999), (1, 2), ""),
    ("a number of many digits", RECIPE + "  - {name: A, rate: %s mL/L}\n" % ("9" * 9999), (1, 2), ""),
    ("a number beyond a double", RECIPE + "  - {name: A, rate: 1e999 mL/L}\n", (1, 2), "1e15"),
    ("not a number", RECIPE + "  - {name: A, rate: nan mL/L}\n", (1, 2), "number"),
    ("a negative rate", RECIPE + "  - {name: A, rate: -1 mL/L}\n", (1, 2), "rate"),
    ("bytes that are not UTF-8", b"aliquot: recipe 1\nname: \xff\xfe\n", (1, 2), "UTF-8"),
    ("an overlong slash", b"aliquot: recipe 1\nname: \xc0\xaf\n", (1, 2), "UTF-8"),
    ("half of a surrogate pair", b"aliquot: recipe 1\nname: \xed\xa0\x80\n", (1, 2), "UTF-8"),
    ("UTF-16", "aliquot: recipe 1\n".encode("utf-16"), (1, 2), ""),
    ("a zero byte", b"aliquot: recipe 1\n\0", (2,), "zero byte"),
    ("more than 1 MiB", "#" * (MIB + 1), (2,), "1 MiB"),
    ("nothing", "", (2,), "empty"),
]

# A name as a stranger types it into a shared recipe.
NAMES = {
    "terminal escapes": '"A\\e]0;owned\\a\\e[2J\\r"',
    "C1 controls": '"A\\x9b2J"',
    "turned text": '"A\\u202egnp.exe"',
    "a spreadsheet's formula": "'=HYPERLINK(\"http://x.example\",\"A\")'",
    "a formula after a sign": "'+1+cmd|calc!A1'",
    "a formula after an at": "'@SUM(A1)'",
    "a formula after a tab": '"\\t=1+1"',
    "markup": "'<script>alert(1)</script><img src=x onerror=alert(1)>'",
    "the end of an attribute": "'\" onmouseover=\"alert(1)'",
    "a calendar line": '"A\\r\\nEND:VEVENT\\r\\nBEGIN:VALARM\\r\\nACTION:PROCEDURE"',
    "a line separator": '"A\\L=1\\PB\\N=2"',
    "a path": "'../../etc/passwd'",
    "percent signs": "'%s%n%999999d'",
}


class Tags(html.parser.HTMLParser):
    def __init__(self):
        super().__init__()
        self.wrong = []

    def handle_starttag(self, tag, attrs):
        names = [a for a, _ in attrs]
        if tag in ("script", "iframe", "img", "object", "embed", "link", "form", "base"):
            self.wrong.append("<%s>" % tag)
        self.wrong += ["%s in <%s>" % (a, tag) for a in names if a.startswith("on") or a in ("src", "srcdoc")]


def controls(text, allowed):
    return [c for c in text if (ord(c) < 32 or 127 <= ord(c) < 160) and c not in allowed]


def judge_csv(text):
    cells = [c for row in csv.reader(io.StringIO(text)) for c in row]
    return ["a cell that runs: %r" % c for c in cells
            if c[:1] in ("=", "+", "@", "\t") or (c[:1] == "-" and not re.match(r"-[\d.]", c))]


def judge_ics(text):
    lines = text.split("\r\n")
    return (["a line feed alone"] if any("\n" in l for l in lines) else []) + \
        ["an action typed by a stranger" for l in lines if l.startswith("ACTION:PROC")] + \
        (["events that do not close"] if text.count("\r\nBEGIN:VEVENT") != text.count("\r\nEND:VEVENT") else [])


def judge_bytes(form, data):
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        return ["not UTF-8"]
    wrong = []
    if controls(text, "\r\n" if form in ("csv", "ics") else "\n"):
        wrong.append("control bytes %r" % controls(text, "\n"))
    if form == "text" and TURNS.search(text):
        wrong.append("text that turns")
    if form == "json" and text:
        json.loads(text)
    if form == "csv":
        wrong += judge_csv(text)
    if form == "html":
        tags = Tags()
        tags.feed(text)
        wrong += tags.wrong
    return wrong + (judge_ics(text) if form == "ics" else [])


class Bench:
    def __init__(self, program):
        self.program = program
        self.count, self.wrong, self.slowest, self.largest = 0, [], (0, ""), (0, "")

    def run(self, name, words, files=None, given=b"", form="text", exits=(0, 1), says=""):
        folder = tempfile.mkdtemp()
        for path, data in (files or {}).items():
            with open(os.path.join(folder, path), "wb") as file:
                file.write(data.encode() if isinstance(data, str) else data)
        self.run_in(folder, name, words, given, form, exits, says)
        shutil.rmtree(folder)

    def run_in(self, folder, name, words, given=b"", form="text", exits=(0, 1), says=""):
        env = {**os.environ, "SOURCE_DATE_EPOCH": "1772409600", "NO_COLOR": "1"}
        with tempfile.TemporaryFile() as gives, tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
            gives.write(given.encode() if isinstance(given, str) else given)
            gives.seek(0)
            child = subprocess.Popen([self.program] + words, cwd=folder, env=env, stdin=gives, stdout=out, stderr=err,
                                     preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_CPU, (10, 10)))
            _, status, used = os.wait4(child.pid, 0)
            child.returncode = os.waitstatus_to_exitcode(status)
            out.seek(0)
            err.seek(0)
            self.judge(name, child.returncode, out.read(), err.read(), used, form, exits, says)

    def judge(self, name, code, out, err, used, form, exits, says):
        seconds, size = used.ru_utime + used.ru_stime, used.ru_maxrss * 1024
        wrong = judge_bytes(form, out) + ["complaint: " + w for w in judge_bytes("text", err)]
        if code not in exits:
            wrong.append("exit %d: %r" % (code, err[:200]))
        if says.encode() not in err + out:
            wrong.append("does not say %r: %r" % (says, err[:200]))
        if code > 1 and not err:
            wrong.append("no complaint")
        if seconds > SECONDS:
            wrong.append("%.2f s" % seconds)
        if size > BYTES:
            wrong.append("%d MiB" % (size // MIB))
        self.count += 1
        self.slowest = max(self.slowest, (seconds, name))
        self.largest = max(self.largest, (size, name))
        self.wrong += ["%s: %s" % (name, w) for w in wrong]


def try_documents(bench):
    for name, text, exits, says in DOCUMENTS:
        bench.run(name, ["check", "-"], given=text, exits=exits, says=says)
    for name, piece, head, tail in [
            ("a JSON list of 1 MiB", "1,", "[", "1]"), ("JSON brackets", "[", "", ""),
            ("JSON escapes", "\\u0041", '{"job":"', '"}'), ("JSON keys", '"k%d":1,', "{", '"job":"mix"}')]:
        bench.run(name, ["batch"], given=fill(piece, head, tail + "\n"), form="", exits=(1,), says="error 1")
    bench.run("a line that is too long, and one after it", ["batch"], form="", exits=(1,), says='"aliquot":"sheet 1"',
              given=" " * (3 * MIB) + '{"job":"x"}\n{"job":"convert","quantity":"1 L","to":"mL"}\n')


def try_names(bench):
    for name, typed in NAMES.items():
        part = "{name: %s, rate: 0-4 mL/L, ec: 0.4 mS/cm per mL/L, hazards: [H318]}" % typed
        recipe = RECIPE + "  - %s\n" % part
        site = SITE + "name: %s\nrecipes: {leaf: leaf.yaml}\n" % typed + \
            "waters: {tap: {ec: 0.3 mS/cm}}\nreservoirs: [{name: %s, holds: 12 L, recipe: leaf, water: tap}]\n" % typed + \
            "week: [{reservoir: %s, change: [Mon 07:30]}]\n" % typed
        files = {"leaf.yaml": recipe, "site.yaml": site}
        for form in FORMATS:
            bench.run("%s in a part, %s" % (name, form), ["mix", "--volume", "10L", "--water-ec", "0.3mS/cm", "--ec",
                      "1mS/cm", "--part", part, "--format", form], form=form)
            bench.run("%s in a plan, %s" % (name, form), ["plan", "site.yaml", "--from", "2026-03-02", "--days", "7",
                      "--format", form], files, form=form, exits=(0, 1, 2))
        raw = "A\x1b]0;owned\x07\r\nX:1\u202e"
        for form in FORMATS:
            bench.run("who and note, " + form, ["convert", "1 L", "--to", "mL", "--who", raw, "--note", raw, "--format",
                      form], form=form, exits=(0, 1, 2))
        bench.run(name + " in a fault", ["check", "site.yaml"],
                  {"site.yaml": SITE + "reservoirs: [{name: %s, hodls: 12 L}]\n" % typed}, exits=(1, 2))


def try_options(bench):
    for value in ("1e999 L", "nan L", "inf L", "-5 L", "0 L", "0x10 L", "9" * 5000 + " L", "1/0 L", "1" + "/1" * 5000,
                  "\x1b[2J L", "5 \u202eL", "1 L" * 40000, "{" * 5000, "[" * 5000, "{a: &a 1}", "%n%s"):
        bench.run("--volume %.20r" % value, ["mix", "--volume", value, "--ec", "1mS/cm"], exits=(2,))
    for words in (["\x1b[2J"], ["--\x1b[2J"], ["mix", "--\x1b[2J", "x"], ["help", "\x1b[2J"], ["schema", "\x1b[2J"],
                  ["new", "\x1b[2J"], ["mix", "--format", "\x1b[2J"], ["batch", "--\x1b"], ["mix", "a\nb\x1b.yaml"]):
        bench.run("words %r" % (words,), words, exits=(2,))
    bench.run("an option that is not UTF-8", [b"mix", b"--volume", b"\xff\xfe L"], exits=(2,))
    bench.run("a name that is not UTF-8", [b"convert", b"1 L", b"--to", b"mL", b"--who", b"\xff\xfe"], exits=(0, 2))


def try_files(bench):
    folder = tempfile.mkdtemp()
    inside = os.path.join(folder, "site")
    os.mkdir(inside)
    os.symlink("loop", os.path.join(inside, "loop"))
    os.symlink("../secret.yaml", os.path.join(inside, "leaf.yaml"))
    with open(os.path.join(folder, "secret.yaml"), "w", encoding="utf-8") as file:
        file.write(RECIPE + "  - {name: Secret, rate: 1 mL/L, ec: 0.4 mS/cm per mL/L}\n")
    mix = ["mix", "site.yaml", "Tank", "--water-ec", "0.3mS/cm", "--ec", "0.5mS/cm"]
    for path, says in (("leaf.yaml", "outside"), ("../secret.yaml", "outside"), ("/etc/passwd", "outside"),
                       ("./.././secret.yaml", "outside"), ("loop", ""), (".", ""), ("/dev/zero", "outside"),
                       ("nothing/../../secret.yaml", "")):
        with open(os.path.join(inside, "site.yaml"), "w", encoding="utf-8") as file:
            file.write(SITE + "recipes: {leaf: %s}\n" % path + TANK)
        bench.run_in(inside, "a recipe at " + path, mix, exits=(2,), says=says)
    with open(os.path.join(inside, "site.yaml"), "w", encoding="utf-8") as file:
        file.write(SITE + "recipes: {leaf: leaf.yaml}\n" + TANK)
    bench.run_in(inside, "a recipe outside that was asked for", mix + ["--outside"], says="Secret")
    for path in (".", "loop", "/dev/zero", "/dev/null", "/proc/self/mem", "a" * 5000, "site.yaml/x"):
        bench.run_in(inside, "a site at %.20s" % path, ["check", path], exits=(1, 2))
    bench.run_in(inside, "output to a folder", ["convert", "1 L", "--to", "mL", "--output", "."], exits=(3,))
    bench.run_in(inside, "output below a file", ["convert", "1 L", "--to", "mL", "--output", "site.yaml/x"], exits=(3,))
    shutil.rmtree(folder)


def main(program):
    bench = Bench(os.path.abspath(program))
    for attempt in (try_documents, try_names, try_options, try_files):
        attempt(bench)
    for line in bench.wrong:
        print(line)
    print("slowest: %.2f s, %s; largest: %.1f MiB, %s" % (bench.slowest + (bench.largest[0] / MIB, bench.largest[1])))
    print("%d hostile inputs, %d went wrong" % (bench.count, len(bench.wrong)))
    return 1 if bench.wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))

#!/usr/bin/env python3
"""Changes one operator or constant at a time, and counts how many of the changes the tests notice.

    mutate.py BUILD [--sanitized BUILD] [--sample N] [--seed N] [--least PERCENT] [--jobs N] [FILE...]

FILE: lib/solve/*.c, lib/measure/*.c and lib/sheet/caution*.c where none is named. BUILD is a built folder. A changed
file is compiled alone and linked in front of the archive of the library, with one test after the other until one
fails: the file's own, the others of its room, then those of the rooms that use numbers and of the program, each from
the fastest to the slowest. A test that never enters the changed function cannot fail of it and is not asked; which it
enters is counted once, by gcov. What none of them notices is tried once more in a build with the sanitizers, where one is
named: they see what reads beyond its end. Nothing in a BUILD is touched.

Left out: what stands in comments, texts and assertions, what the compiler refuses, what it makes the same code of, whether
a comparison beside a margin for rounding is strict, for no number stands exactly there but by luck, and what
tests/mutants.txt gives a reason for, which is counted apart. Ends with the share that was noticed of the rest,
after a line for each change that was not: each is a test to write or a reason to add. Exits 1 below --least (90 %), or
where a reason does not fit one line.
"""
import argparse
import collections
import concurrent.futures
import glob
import json
import os
import random
import re
import shlex
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
import time

TOP = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
REASONS = os.path.join(TOP, "tests", "mutants.txt")
SWAPS = [("<=", "<"), (">=", ">"), ("==", "!="), ("!=", "=="), (" < ", " <= "), (" > ", " >= "), ("&&", "||"),
         ("||", "&&"), (" + ", " - "), (" - ", " + "), (" * ", " / "), (" / ", " * "), ("++", "--"), (" += ", " -= "),
         (" -= ", " += "), ("true", "false"), ("false", "true"), ("fmin(", "fmax("), ("fmax(", "fmin("), ("!", "")]
ROOMS = ["measure", "document", "chemistry", "model", "solve", "sheet", "job", "laws", "program"]
TOO_SLOW = 1.5  # s of a processor: a test that takes more is not asked, unless it is the file's own
OTHERS = {"help", "completion", "newcomer", "manual", "manual_pages", "abroad", "narrow", "split", "schemas",
          "same_numbers", "threads", "log_mix", "progress", "dialogue"}  # of the program, about other things than its numbers
STRICTNESS = {("<=", "<"), (">=", ">"), (" < ", " <= "), (" > ", " >= ")}
A_MARGIN = re.compile(r"\b1e-(0?[6-9]|1\d)\b|DBL_EPSILON|\b\w*(slack|noise)\b")
ROUNDING = 1e-6  # a margin up to this, or a share of DBL_EPSILON, is made a million times as wide: half as wide again
                 # no test could tell


def code_only(text):
    """The text with comments, strings, assertions and preprocessor lines blanked, so that places stay."""
    blank = lambda m: re.sub(r"[^\n]", " ", m.group())
    text = re.sub(r"/\*.*?\*/|//[^\n]*", blank, text, flags=re.S)
    text = re.sub(r'"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', blank, text)
    text = re.sub(r"\b(?:_Static_)?assert\([^;]*;", blank, text)
    return re.sub(r"^[ \t]*#(?:[^\n\\]|\\.|\\\n)*", blank, text, flags=re.M)


def other_number(old, margin):
    if margin:
        return repr(float(old) * 1e6)
    if old in ("0", "1"):
        return "1" if old == "0" else "0"
    if not re.search(r"[.e]", old):
        return str(int(old) + 1)
    return repr(float(old) * (1e6 if float(old) <= ROUNDING else 1.5))


def clause_around(code, start, stop):
    """What is compared: from the && or || or the line's begin before it to the next after it."""
    before = re.split(r"&&|\|\||\n|\?|;", code[:start])[-1]
    return before + code[start:stop] + re.split(r"&&|\|\||\n|\?|;", code[stop:], maxsplit=1)[0]


def places_in(path):
    """(offset, old, new) of every change in a file, and its text."""
    with open(path, encoding="utf-8") as file:
        text = file.read()
    code, found = code_only(text), []
    for old, new in SWAPS:
        word = r"\b%s\b" % old if old.isalpha() else re.escape(old)
        for m in re.finditer(word, code):
            edge = (old, new) in STRICTNESS and A_MARGIN.search(clause_around(code, m.start(), m.end()))
            if not edge and (old != "!" or code[m.end()] != "="):
                found.append((m.start(), old, new))
    for m in re.finditer(r"(?<![\w.\[])(\d+(?:\.\d+)?(?:e-?\d+)?)(?![\w.\]])", code):
        margin = code.startswith(" * DBL_EPSILON", m.end())
        found.append((m.start(1), m.group(1), other_number(m.group(1), margin)))
    return text, sorted(found)


class Change:
    def __init__(self, path, text, at, old, new):
        self.path, self.old, self.new = os.path.abspath(path), old, new
        self.name = os.path.relpath(path, TOP)
        self.text = text[:at] + new + text[at + len(old):]
        start = text.rfind("\n", 0, at) + 1
        stop = text.find("\n", at)
        self.number = text.count("\n", 0, at) + 1
        self.line = text[start:stop].strip()
        self.next = text[stop + 1:text.find("\n", stop + 1)].strip()
        self.result = (text[start:at] + new + text[at + len(old):stop]).strip()

    def __str__(self):
        return "%s:%d: %r for %r\n    %s\n    %s" % (self.name, self.number, self.new, self.old, self.line,
                                                     self.result)


def read_reasons():
    """(file, line, the line after it or None, changed line) of each reason: a file in brackets, a reason after #, a line
    with - and below it its changes with +; where the same line stands twice, the line after it with = between."""
    kept, name, line, after = [], None, None, None
    with open(REASONS, encoding="utf-8") as file:
        for row in file.read().splitlines():
            if row.startswith("["):
                name = row.strip("[]")
            elif row.startswith("- "):
                line, after = row[2:].strip(), None
            elif row.startswith("= "):
                after = row[2:].strip()
            elif row.startswith("+ "):
                kept.append((name, line, after, row[2:].strip()))
    return kept


def ends_well(words, limit, **how):
    """Whether the words end with 0; None where they take longer than the limit, and then all that they started is ended
    with them. Nothing is read from a pipe, which a grandchild could keep open."""
    with subprocess.Popen(words, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                          start_new_session=True, **how) as running:
        try:
            return running.wait(limit) == 0
        except subprocess.TimeoutExpired:
            os.killpg(running.pid, signal.SIGKILL)
            return None


def entered(folder):
    """Whether each function, (file, first line, last line), was entered, from the counts in a folder, which are used up;
    and each file as (file, 0, 0), for what is in no function."""
    counts, seen = glob.glob(os.path.join(folder, "*.gcda")), {}
    told = subprocess.run(["gcov", "--json-format", "--stdout"] + counts, cwd=folder, capture_output=True, text=True,
                          check=True).stdout if counts else ""
    for line in told.splitlines():
        for file in json.loads(line)["files"]:
            path = os.path.realpath(os.path.join(folder, file["file"]))
            seen[path, 0, 0] = True
            seen.update({(path, f["start_line"], f["end_line"]): f["execution_count"] > 0 for f in file["functions"]})
    for path in counts:
        os.remove(path)
    return seen


class Test:
    """A test and the programs it runs, each with the words that link it; some are named from BUILD on."""

    def __init__(self, listed, links, build):
        self.name, self.room = listed["name"], listed["suite"][0].split(":")[-1]
        self.words, self.seconds, self.cost, self.enters = listed["cmd"], 0, 0, set()
        self.env = dict(os.environ, **listed["env"])
        self.programs = {w: links[os.path.join(build, w)] for w in self.words if os.path.join(build, w) in links}

    def run(self, build, folder, made, limit):
        """0: passes; else why not. `made`: what is linked in front of the archive."""
        words = list(self.words)
        for program, link in self.programs.items():
            linked = os.path.join(folder, os.path.basename(program))
            if not os.path.exists(linked):
                link = list(link)
                link[link.index("-o") + 1] = linked
                at = link.index("lib/libaliquot.a")
                if subprocess.run(link[:at] + made + link[at:], cwd=build, capture_output=True).returncode:
                    return "the linker"
            words = [linked if w == program else w for w in words]
        ended = ends_well(words, limit, cwd=build, env=self.env)
        return 0 if ended else self.name + ("" if ended is False else ", which does not end")


class Workshop:
    def __init__(self, build, files, sanitized=None):
        self.build, self.work = build, tempfile.mkdtemp()
        self.sanitized = Sanitized(sanitized, []) if sanitized else None
        self.compilers, self.plain, self.functions, self.lock = {}, {}, set(), threading.Lock()
        with open(os.path.join(build, "compile_commands.json"), encoding="utf-8") as file:
            for entry in json.load(file):
                if entry["output"].startswith("lib/libaliquot.a.p"):
                    self.compilers[os.path.realpath(os.path.join(entry["directory"], entry["file"]))] = entry
        self.tests = self.find_tests()
        self.look_on(files)

    def close(self):
        shutil.rmtree(self.work)
        if self.sanitized:
            self.sanitized.close()

    def find_tests(self):
        commands = subprocess.run(["ninja", "-C", self.build, "-t", "commands"], capture_output=True, text=True,
                                  check=True).stdout.splitlines()
        links = {}
        for words in (shlex.split(c) for c in commands if " lib/libaliquot.a " in c and " -o " in c):
            if "lib/libaliquot.a" in words:
                links[os.path.join(self.build, words[words.index("-o") + 1])] = words
        listed = json.loads(subprocess.run(["meson", "introspect", self.build, "--tests"], capture_output=True,
                                           text=True, check=True).stdout)
        tests = [Test(t, links, self.build) for t in listed if not any("slow" in s for s in t["suite"])]
        tests = [t for t in tests if t.programs and t.room in ROOMS and t.name not in OTHERS]
        return tests

    def look_on(self, files):
        """Sees that every test passes on what is, and remembers how long it takes and which functions it enters."""
        folder = os.path.join(self.work, "counted")
        os.mkdir(folder)
        counted = [self.compile(path, folder, more=["--coverage"]) for path in files]
        for test in self.tests:
            started, cpu = time.monotonic(), os.times()
            failed = test.run(self.build, folder, counted + ["--coverage"], 120)
            if failed:
                sys.exit("%s fails before anything is changed" % failed)
            test.seconds = time.monotonic() - started
            test.cost = os.times().children_user - cpu.children_user
            counts = entered(folder)
            self.functions.update(counts)
            test.enters = {f for f in counts if counts[f]}
        shutil.rmtree(folder)

    def in_order(self, change):
        """The tests that may notice a change: the file's own, its room's, the others, the fastest first."""
        room, own = change.name.split("/")[1], os.path.basename(change.name)[:-2].split("_")[0]
        owned = lambda t: t.name.split("_")[0] == own and t.room == room
        inside = [f for f in self.functions if f[0] == change.path and f[1] <= change.number <= f[2]]
        where = inside[0] if inside else (change.path, 0, 0)
        fitting = [t for t in self.tests if where in t.enters and (owned(t) or t.cost < TOO_SLOW)]
        return sorted(fitting, key=lambda t: (not owned(t), t.room != room, t.cost))

    def compile(self, path, folder, text=None, more=()):
        """The object of a file, or of another text in its place; None where the compiler complains."""
        name = os.path.basename(path)
        made = os.path.join(folder, name[:-2] + ".o")
        words = shlex.split(self.compilers[os.path.realpath(path)]["command"])
        words = [w for w in words if os.path.basename(w) != "ccache"]
        words[words.index("-o") + 1] = made
        words[-1] = os.path.abspath(path)
        if text is not None:
            words[-1] = name
            with open(os.path.join(folder, name), "w", encoding="utf-8") as file:
                file.write(text)
        words = [w for i, w in enumerate(words) if w not in ("-MD", "-g") and not
                 (w in ("-MQ", "-MF") or words[i - 1] in ("-MQ", "-MF"))]
        words = ["-I" + os.path.join(self.build, w[2:]) if w.startswith("-I") else w for w in words]
        words += ["-I" + os.path.dirname(path), "-O1", "-Werror", *more]
        done = subprocess.run(words, cwd=folder, capture_output=True)
        return made if done.returncode == 0 else None

    def object_of(self, path, text, folder):
        made = self.compile(path, folder, text)
        if not made:
            return None
        with open(made, "rb") as file:
            return file.read()

    def plain_object(self, path):
        with self.lock:
            if path not in self.plain:
                folder = tempfile.mkdtemp(dir=self.work)
                with open(path, encoding="utf-8") as file:
                    self.plain[path] = self.object_of(path, file.read(), folder)
                shutil.rmtree(folder)
            return self.plain[path]

    def try_out(self, change):
        """None: no change; else (the change, the test that notices it or an empty text)."""
        folder = tempfile.mkdtemp(dir=self.work)
        try:
            made = self.object_of(change.path, change.text, folder)
            if made is None or made == self.plain_object(change.path):
                return None
            for test in self.in_order(change):
                failed = test.run(self.build, folder, [os.path.join(folder, os.path.basename(change.name)[:-2] + ".o")], 3 + 8 * test.seconds)
                if failed:
                    return change, failed
            return change, self.sanitized.try_out(change, self.in_order(change)) if self.sanitized else ""
        finally:
            shutil.rmtree(folder)


class Sanitized(Workshop):
    """A build with the sanitizers: asks the tests that the plain one asked, without looking on first."""

    SLOWER = 20

    def look_on(self, files):
        self.by_name = {(t.room, t.name): t for t in self.tests}

    def try_out(self, change, tests):
        folder = tempfile.mkdtemp(dir=self.work)
        try:
            made = self.compile(change.path, folder, change.text)
            for plain in tests if made else []:
                test = self.by_name.get((plain.room, plain.name))
                failed = test and test.run(self.build, folder, [made], 10 + self.SLOWER * plain.seconds)
                if failed:
                    return failed + ", sanitized"
            return ""
        finally:
            shutil.rmtree(folder)


def changes_of(files):
    everything = []
    for path in files:
        text, found = places_in(path)
        everything += [Change(os.path.abspath(path), text, *place) for place in found]
    return everything


def without_reasoned(everything):
    """The changes that no reason is given for. A reason that fits none, or more than one, of the files at hand is an
    error: it must speak of one change."""
    names, reasoned, wrong = {c.name for c in everything}, set(), False
    for name, line, after, result in read_reasons():
        fitting = [c for c in everything if (c.name, c.line, c.result) == (name, line, result) and
                   after in (None, c.next)]
        reasoned.update(map(id, fitting))
        if name in names and len(fitting) != 1:
            print("tests/mutants.txt fits %d places of %s:\n    %s\n    %s" % (len(fitting), name, line, result))
            wrong = True
    if wrong:
        sys.exit(1)
    return [c for c in everything if id(c) not in reasoned]


def room_of(change):
    """The bounded solver counts apart from the rest of its room."""
    return change.name[:-2].split("_")[0] if "/lsq" in change.name else os.path.dirname(change.name)


def main():
    asked = argparse.ArgumentParser()
    asked.add_argument("build")
    asked.add_argument("files", nargs="*")
    asked.add_argument("--sample", type=int, default=0)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--sanitized")
    asked.add_argument("--least", type=float, default=90)
    asked.add_argument("--jobs", type=int, default=os.cpu_count())
    asked = asked.parse_intermixed_args()
    files = asked.files or [f for p in ("solve/*", "measure/*", "sheet/caution*")
                            for f in sorted(glob.glob(os.path.join(TOP, "lib", p + ".c")))]
    everything = changes_of(files)
    total, tried = len(everything), without_reasoned(everything)
    reasoned = total - len(tried)
    if asked.sample:
        tried = random.Random(asked.seed).sample(tried, min(asked.sample, len(tried)))
    shop = Workshop(os.path.abspath(asked.build), sorted({c.path for c in tried}),
                    os.path.abspath(asked.sanitized) if asked.sanitized else None)
    count, noticed = collections.Counter(), collections.Counter()
    with concurrent.futures.ThreadPoolExecutor(asked.jobs) as pool:
        for result in filter(None, pool.map(shop.try_out, tried)):
            count[room_of(result[0])] += 1
            noticed[room_of(result[0])] += result[1] != ""
            if not result[1]:
                print(result[0], flush=True)
            elif os.environ.get("MUTATE_NAMES"):
                print("%s:%d: %s" % (result[0].name, result[0].number, result[1]), flush=True)
    shop.close()
    for room in sorted(count):
        print("%s: %d of %d noticed, %.1f %%" % (room, noticed[room], count[room], 100 * noticed[room] / count[room]))
    count, noticed = sum(count.values()), sum(noticed.values())
    share = 100 * noticed / count if count else 0
    print("%d places, %d with a reason; tried %d of the others: %d noticed, %d not, %d no change; noticed %.1f %%" %
          (total, reasoned, len(tried), noticed, count - noticed, len(tried) - count, share))
    return 0 if share >= asked.least else 1


if __name__ == "__main__":
    sys.exit(main())

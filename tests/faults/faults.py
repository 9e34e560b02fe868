#!/usr/bin/env python3
"""Every read, write, fsync, rename, close and open of the program fails once.

    faults.py PROGRAM [WORD]      linked with shim.c; of the commands only those that hold the word

Each command below is run once unharmed, then again and again, each time with one call failing (shim.c), until no call
of that sort is left. What may come of it:

    SIGKILL, before a write        the log opens, and holds all of the entry or nothing of it
    EINTR, a short read or write   nothing: the same output and exit status
    any other                      the same, where the call did not matter (a file that was read is closed), which it does
                                   where a file of --output or of new is written; else exit 3, or 2 where a document
                                   could not be read (1 from check, whose answer that is, and from batch, for that
                                   line), and a message
    always                         no signal ends it; a file of --output is whole, the old one or the new one, is put on
                                   the disk with its folder, and nothing is left beside it; a log opens, and holds every
                                   entry that was acknowledged
"""
import os
import re
import shutil
import subprocess
import sys
import tempfile

OLD = "the old file\n"
SOFT = ["EINTR", "SHORT"]
FAULTS = {"read": ["EIO"] + SOFT, "write": ["EIO", "ENOSPC", "EPIPE"] + SOFT,
          "write-written": ["EIO", "ENOSPC"] + SOFT, "fsync": ["EIO", "ENOSPC", "EINTR"],
          "rename": ["EACCES", "ENOSPC", "EIO"], "close": ["EIO", "ENOSPC", "EINTR"],
          "close-written": ["EIO", "ENOSPC", "EINTR"], "open": ["EACCES", "EMFILE", "EINTR"],
          "mkstemp": ["EACCES", "EMFILE", "ENOSPC"], "ftruncate": ["EIO"], "fchmod": ["EIO"]}
UNREADABLE = "Input/output error|could not be read|disk I/O error|torn or damaged"  # the last: what SQLite makes of it
WRITING = ["write-written", "fsync", "rename", "close-written", "mkstemp", "fchmod"]  # what a file of ours is made by
for call in ("write", "write-written", "fsync", "rename", "ftruncate", "close-written"):
    FAULTS[call].append("KILL")
MACHINE_FAILED, ASKED_WRONGLY, OTHER = 3, 2, 1

LINES = "".join('{"job":"convert","quantity":"%d mL","to":"gal-us"}\n' % i for i in range(1, 400))
POUR = ["log", "add", "site.yaml", "Trays", "--ec-after", "1.6mS/cm"]
COMMANDS = [
    (["convert", "1 gal-us", "--to", "L"], ""),
    (["convert", "1 gal-us", "--to", "L", "--output", "out"], ""),
    (["mix", "site.yaml", "Trays", "--format", "html", "--output", "out"], ""),
    (["plan", "site.yaml", "--from", "2026-03-02", "--days", "7", "--format", "ics", "--output", "out"], ""),
    (["mix", "-", "Trays", "--format", "json"], "site.yaml"),
    (["check", "site.yaml", "two-part-leaf.yaml"], ""),
    (["batch"], LINES),
    (["batch", "site.yaml"], '{"job":"mix","subject":"Trays"}\n'),
    (["new", "recipe"], ""),
    (POUR, ""),
    (["log", "list", "site.yaml"], ""),
    (["log", "export", "site.yaml", "--format", "csv", "--output", "out"], ""),
    (["log", "undo", "site.yaml", "1"], ""),
    (["log", "import", "other.yaml", "entries.csv"], ""),
    (["supplies", "site.yaml", "--from", "2026-03-02"], ""),
    (["new", "site", "fresh"], ""),
]
# Each prints by its own road.
PRINTED = [["--version"], ["help"], ["help", "mix"], ["check", "site.yaml"], ["schema", "sheet"], ["completion", "bash"],
           ["convert", "1 gal-us", "--to", "L"], ["mix", "site.yaml", "Trays"], ["log", "list", "site.yaml"],
           ["log", "export", "site.yaml"], ["batch"]]


class World:
    """A folder as it stands before a command."""

    def __init__(self, program, documents):
        self.program = program
        self.clean = tempfile.mkdtemp()
        for name in ("site.yaml", "two-part-leaf.yaml"):
            shutil.copy(os.path.join(documents, name), self.clean)
        with open(os.path.join(self.clean, "out"), "w", encoding="utf-8") as file:
            file.write(OLD)
        for _ in range(2):
            self.run(POUR, "", None, self.clean)
        shutil.copy(os.path.join(self.clean, "site.yaml"), os.path.join(self.clean, "other.yaml"))
        done, _ = self.run(["log", "export", "site.yaml", "--format", "csv"], "", None, self.clean)
        with open(os.path.join(self.clean, "entries.csv"), "w", encoding="utf-8") as file:
            file.write(done.stdout)
        self.entries = self.logged(self.clean)

    def run(self, words, given, fault, folder):
        """The finished process, and whether the fault was met."""
        env = {**os.environ, "SOURCE_DATE_EPOCH": "1772409600", "NO_COLOR": "1"}
        reads, writes = os.pipe()
        if fault:
            env.update(FAULT=fault, FAULT_MARK=str(writes))
        if given.endswith(".yaml"):
            with open(os.path.join(folder, given), encoding="utf-8") as file:
                given = file.read()
        done = subprocess.run([self.program] + words, cwd=folder, env=env, input=given, capture_output=True,
                              text=True, timeout=60, pass_fds=[writes])
        os.close(writes)
        met = os.read(reads, 1) != b""
        os.close(reads)
        return done, met

    def logged(self, folder, site="site.yaml"):
        done, _ = self.run(["log", "export", site, "--format", "csv"], "", None, folder)
        return done.stdout.splitlines() if done.returncode == 0 else None


def whole_file(folder):
    with open(os.path.join(folder, "out"), encoding="utf-8") as file:
        return file.read()


def judge(world, words, fault, unharmed, done, folder):
    """What is wrong with what came of it."""
    wrong = []
    call, _, kind = fault.split(":")
    if kind == "KILL":
        return judge_killed(world, words, unharmed, done, folder)
    soft = call in ("read", "write", "write-written") and kind in SOFT
    good, new, _ = unharmed
    same = done.returncode == good.returncode and done.stdout == good.stdout
    if done.returncode < 0:
        wrong.append("ended by signal %d" % -done.returncode)
    elif not same:
        allowed = [MACHINE_FAILED]
        if call in ("read", "open"):
            allowed += [ASKED_WRONGLY] + ([OTHER] if words[0] in ("check", "batch") else [])
        if soft:
            wrong.append("exit %d where nothing was lost: %s" % (done.returncode, done.stderr.strip()))
        elif done.returncode not in allowed:
            wrong.append("exit %d: %s" % (done.returncode, done.stderr.strip()))
        if call == "read" and kind == "EIO" and not re.search(UNREADABLE, done.stdout + done.stderr):
            wrong.append("what could not be read is told as something else: %r" % done.stderr)
        if not done.stderr.startswith("aliquot") and ".yaml" not in done.stderr + done.stdout:
            wrong.append("no message: %r" % done.stderr)
    elif call in WRITING and not soft and ("--output" in words or words[0] == "new"):
        wrong.append("%s, and nobody was told" % fault)
    out = whole_file(folder)
    if out not in (OLD, new):
        wrong.append("half a file of %d bytes" % len(out))
    if "--output" in words and same and out != new:
        wrong.append("the file was not written, and nobody was told")
    left = [n for n in os.listdir(folder) if n.startswith("out.")]
    if left:
        wrong.append("left behind: %s" % left)
    return wrong + judge_log(world, words, done, folder)


def entries_in(lines):
    """How many stand below the header; none, where there is no log yet."""
    return len(lines or [""]) - 1


def log_of(words):
    return words[2] if words[0] == "log" else "site.yaml"


def judge_killed(world, words, unharmed, done, folder):
    """A file is the old one or the new one, a log is that from before or from after, and sound."""
    _, new, rows = unharmed
    wrong = [] if done.returncode == -9 else ["was not killed: exit %d" % done.returncode]
    if whole_file(folder) not in (OLD, new):
        wrong.append("half a file")
    log = log_of(words)
    left = entries_in(world.logged(folder, log))
    if left not in rows:
        wrong.append("%d entries in the log, where %s are right" % (left, " or ".join(map(str, rows))))
    checked, _ = world.run(["check", log.replace(".yaml", ".log")], "", None, folder)
    if left and checked.returncode:
        wrong.append("the log is damaged: %s" % checked.stderr.strip())
    return wrong


def judge_log(world, words, done, folder):
    rows = world.logged(folder)
    if rows is None:
        return ["the log cannot be read any more"]
    if rows[:len(world.entries)] != world.entries and sorted(set(world.entries) - set(rows)):
        return ["entries of the log are lost"]
    if words == POUR and done.returncode == 0 and len(rows) <= len(world.entries):
        return ["an acknowledged entry is lost"]
    return []


def fail_each(world, words, given):
    """How many faults were met, and what went wrong."""
    folder = os.path.join(world.clean, "..", os.path.basename(world.clean) + ".run")
    shutil.copytree(world.clean, folder)
    before = entries_in(world.logged(folder, log_of(words)))
    good, _ = world.run(words, given, None, folder)
    unharmed = good, whole_file(folder), {before, entries_in(world.logged(folder, log_of(words)))}
    met_in_all, synced, wrong = 0, 0, []
    if good.returncode not in (0, 1):
        wrong.append("%s: exit %d unharmed: %s" % (" ".join(words), good.returncode, good.stderr))
    for call, kinds in FAULTS.items():
        for kind in kinds:
            for nth in range(1, 200):
                shutil.rmtree(folder)
                shutil.copytree(world.clean, folder)
                fault = "%s:%d:%s" % (call, nth, kind)
                done, met = world.run(words, given, fault, folder)
                if not met:
                    break
                met_in_all += 1
                synced += call == "fsync" and kind == "EIO"
                wrong += ["%s: %s: %s" % (" ".join(words), fault, w)
                          for w in judge(world, words, fault, unharmed, done, folder)]
    shutil.rmtree(folder)
    if "--output" in words and synced < 2:
        wrong.append("%s: the file and its folder are not both put on the disk" % " ".join(words))
    return met_in_all, wrong


def print_nowhere(world):
    """What goes wrong when nothing can be printed: the disk is full, or nobody gave a place to print to."""
    env = {**os.environ, "SOURCE_DATE_EPOCH": "1772409600", "NO_COLOR": "1"}
    for words in PRINTED:
        for place in ("/dev/full", "&-"):
            done = subprocess.run(["sh", "-c", '"$@" >' + place, "sh", world.program] + words, cwd=world.clean, env=env,
                                  input=LINES, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, timeout=60)
            if done.returncode != MACHINE_FAILED or "standard output: " not in done.stderr:
                yield "%s >%s: exit %d, %r" % (" ".join(words), place, done.returncode, done.stderr)


def main(program, word=None):
    documents = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "examples", "fernhollow")
    world = World(os.path.abspath(program), documents)
    met, wrong = 0, list(print_nowhere(world))
    commands = [c for c in COMMANDS if word is None or word in c[0]]
    for words, given in commands:
        some, bad = fail_each(world, words, given)
        met += some
        wrong += bad
        if not some:
            wrong.append("%s: no call failed" % " ".join(words))
    shutil.rmtree(world.clean)
    for line in wrong:
        print(line)
    print("%d commands, %d calls failed one at a time, %d came out wrong" % (len(commands), met, len(wrong)))
    return 1 if wrong or not met or not world.entries else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))

#!/usr/bin/env python3
"""`aliquot log mix`: at a terminal it asks for what differs from the plan; without one it never asks.

    log_mix.py PROGRAM       exits 1 where a step fails

The site is Fernhollow of examples/, on Monday 9 March 2026: its week plans a change of the trays and of the mother bed.
"""
import json
import os
import pty
import select
import shutil
import signal
import subprocess
import sys
import tempfile

EXAMPLES = os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "examples", "fernhollow")
ENV = {**os.environ, "SOURCE_DATE_EPOCH": "1773043200", "NO_COLOR": "1"}  # Mon 9 Mar 2026, 08:00
FACTOR = 1413 / 1380  # the pen of the site showed 690 ppm-500, so 1.38, in 1.413


def run(folder, *words):
    done = subprocess.run(words, cwd=folder, env=ENV, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=20)
    return done.returncode, done.stdout, done.stderr


def at_terminal(folder, words, answers):
    """What appears where the answers are typed, one after each question; and the exit code. An int is a signal key."""
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(folder)
        os.execve(words[0], words, ENV)
    seen, answers = b"", list(answers)
    while select.select([terminal], [], [], 20)[0]:
        try:
            some = os.read(terminal, 4096)
        except OSError:
            break
        if not some:
            break
        seen += some
        line = seen.rsplit(b"\n", 1)[-1]  # a complaint may come in pieces, one of which ends like a question
        if line.endswith(b": ") and not line.startswith(b"aliquot") and answers:
            os.write(terminal, answers.pop(0).encode())
    else:
        os.kill(child, signal.SIGKILL)  # it has said nothing for so long: it will not end either
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), seen.decode()


def entries(program, folder):
    code, out, _ = run(folder, program, "log", "export", "site.yaml", "--format", "json")
    return [json.loads(line) for line in out.splitlines()[1:]] if code == 0 else []


def close(text, wanted):
    return abs(float(text.split()[0]) - wanted) < 1e-6


def asks_for_what_differs(program, folder):
    """Enter keeps; a number alone has the unit of the question, another unit is read; a wrong answer is asked again."""
    code, seen = at_terminal(folder, [program, "log", "mix", "site.yaml", "Trays"],
                             ["\n", "12\n", "0.0115 L\n", "\n", "310 ppm-500\n", "390\n", "77 degF\n", "5,8\n", "5.8\n",
                              "Nell\n", "\n"])
    kept = entries(program, folder)
    if code or len(kept) != 1 or "write a decimal point" not in seen:
        yield "exit %d, %d entries\n%s" % (code, len(kept), seen)
        return
    entry = kept[0]
    # 77 degF are 25 degC, where nothing is corrected but by the last standard
    wanted = {"kind": "mix", "reservoir": "Trays", "lot": "basil-14", "volume": "12 L", "ph": "5.8", "who": "Nell",
              "temperature": "25 degC", "water-ec": "0.32 mS/cm", "at": "2026-03-09T08:00",
              "planned": {"Calcium-magnesium supplement": "0.0045 L", "Part A": "11 mL", "Part B": "11 mL"},
              "poured": {"Calcium-magnesium supplement": "0.0045 L", "Part A": "12 mL", "Part B": "11.5 mL"}}
    for key, value in wanted.items():
        if entry.get(key) != value:
            # a litre is a litre however it was typed
            if not (key == "poured" and entry[key]["Part A"] == "12 mL" and
                    entry[key]["Part B"] in ("0.0115 L", "11.5 mL")):
                yield "%s is %s, not %s" % (key, entry.get(key), value)
    if "note" in entry or not close(entry["ec-after"], 0.78 * FACTOR) or not close(entry["ec-before"], 0.62 * FACTOR):
        yield "readings: %s" % entry


def what_options_say_is_not_asked(program, folder):
    code, seen = at_terminal(folder, [program, "log", "mix", "site.yaml", "Mother bed", "--ec-after", "1.7mS/cm", "--poured",
                                      "{Part A: 190 mL, Part B: 190 mL}", "--volume", "54 L", "--who", "Nell", "--note", "-"],
                             ["\n"] * 9)
    questions = [line.split(":")[0].split(",")[0] for line in seen.splitlines() if ": " in line]
    kept = entries(program, folder)[-1:]
    if code or questions[:3] != ["EC before the doses", "Temperature", "pH"] or kept[0]["volume"] != "54 L" or \
            kept[0]["poured"] != {"Part A": "190 mL", "Part B": "190 mL"} or len(kept[0]["planned"]) != 3:
        yield "exit %d, asked %s, kept %s" % (code, questions, kept)


def ended_early(program, folder):
    """End of input after any question, in the middle of a line, and ctrl-C: nothing is written."""
    whole = 10
    before = len(entries(program, folder))
    for answered in range(whole):
        code, seen = at_terminal(folder, [program, "log", "mix", "site.yaml", "Trays"], ["\n"] * answered + ["\x04"])
        if code != 2 or "nothing was recorded" not in seen:
            yield "end of input after %d answers: exit %d\n%s" % (answered, code, seen)
        code, seen = at_terminal(folder, [program, "log", "mix", "site.yaml", "Trays"], ["\n"] * answered + ["1\x04\x04"])
        if code != 2:
            yield "end of input in a line after %d answers: exit %d" % (answered, code)
        code, seen = at_terminal(folder, [program, "log", "mix", "site.yaml", "Trays"], ["\n"] * answered + ["\x03"])
        if code != -signal.SIGINT:
            yield "ctrl-C after %d answers: exit %d" % (answered, code)
    if len(entries(program, folder)) != before:
        yield "an entry was written all the same"
    fresh = os.path.join(folder, "fresh")
    shutil.copytree(EXAMPLES, fresh)
    at_terminal(fresh, [program, "log", "mix", "site.yaml", "Trays"], ["\n", "\x03"])
    if [name for name in os.listdir(fresh) if not name.endswith(".yaml")]:
        yield "ctrl-C left %s" % os.listdir(fresh)


def never_asks_elsewhere(program, folder):
    before = len(entries(program, folder))
    code, out, err = run(folder, program, "log", "mix", "site.yaml", "Trays")
    if code != 2 or out or "nothing says how it went" not in err or len(entries(program, folder)) != before:
        yield "exit %d: %s" % (code, err)
        return
    command = err.split("If as planned: ")[1].split(" and, if")[0]  # what it says to type does what it says
    done = subprocess.run(["sh", "-c", command.replace("aliquot", '"$0"', 1), program], cwd=folder, env=ENV,
                          stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=20)
    kept = entries(program, folder)
    if done.returncode or len(kept) != before + 1 or kept[-1]["poured"] != kept[-1]["planned"]:
        yield "%s: exit %d, %s" % (command, done.returncode, done.stderr)
    code, out, err = run(folder, program, "log", "mix", "site.yaml", "Trays", "--ec-after", "0.78 mS/cm")
    kept = entries(program, folder)
    if code or err or len(kept) != before + 2 or kept[-1]["poured"] != kept[-1]["planned"] or "promised" not in out:
        yield "with a reading: exit %d, %s%s" % (code, out, err)


def asks_which(program, folder):
    cases = {
        ("site.yaml",): "which tank? There is Trays, Mister, Mother bed",
        ("site.yaml", "Trys"): "did you mean Trays?",
        (): "which log? Name the site",
        ("--log", "my.log"): "which site?",
        ("site.yaml", "--at", "2026-03-12T08:00"): "which tank?",
    }
    for words, says in cases.items():
        code, out, err = run(folder, program, "log", "mix", *words)
        if code != 2 or out or says not in err:
            yield "%s: exit %d, %s" % (words, code, err)


def the_plan_of_the_day(program, folder):
    """Thursday: the mother bed is topped up, not changed; the mist of the day; where one job is planned, it is meant."""
    code, out, err = run(folder, program, "log", "mix", "site.yaml", "Mother bed", "--at", "2026-03-12T09:00", "--ec-after",
                         "1.6 mS/cm")
    kept = entries(program, folder)[-1]
    if code or kept["kind"] != "top-up" or kept["volume"] != "55 L" or kept["job"] != "topup":
        yield "top-up: exit %d, %s %s" % (code, kept, err)
    code, out, err = run(folder, program, "log", "mix", "site.yaml", "--at", "2026-03-11T08:00", "--poured", "{Kelp mist: 0.4 mL}")
    kept = entries(program, folder)[-1]
    if code or kept["kind"] != "mist" or kept["reservoir"] != "Mister" or kept["planned"] != {"Kelp mist": "0.5 mL"}:
        yield "mist: exit %d, %s %s" % (code, kept, err)
    code, out, err = run(folder, program, "log", "mix", "site.yaml", "Trays", "--at", "2026-03-11T08:00", "--ph", "5.7")
    kept = entries(program, folder)[-1]
    if code or kept["kind"] != "mix" or kept["volume"] != "12 L":
        yield "unplanned: exit %d, %s %s" % (code, kept, err)


def a_reading_is_the_meters(program, folder):
    """A bare ppm is the pen's, which counts in ppm-500; one in ppm-700 was shown by another pen, and nothing corrects it."""
    rows = [("390 ppm", 0.78 * FACTOR), ("390 ppm-500", 0.78 * FACTOR), ("0.78 mS/cm", 0.78 * FACTOR), ("546 ppm-700", 0.78)]
    for shown, wanted in rows:
        code, out, err = run(folder, program, "log", "add", "site.yaml", "--reservoir", "Trays", "--ec-after", shown)
        kept = entries(program, folder)[-1]
        if code or not close(kept["ec-after"], wanted):
            yield "%s: exit %d, %s %s" % (shown, code, kept, err)


def undo_takes_its_words_in_either_order(program, folder):
    before = entries(program, folder)
    for words in (("site.yaml", before[-1]["id"]), (before[-2]["id"], "site.yaml")):
        code, out, err = run(folder, program, "log", "undo", *map(str, words))
        if code or "is taken back" not in out:
            yield "%s: exit %d, %s%s" % (" ".join(map(str, words)), code, out, err)


def names_are_harmless(program, folder):
    """C1 controls and marks that turn the direction of text are shown by their number, as sheets show them."""
    code, out, err = run(folder, program, "log", "add", "--log", "names.log", "--reservoir", "T\u202eays", "--volume", "12 L",
                         "--poured", '{"A\\u009b31m": 3 mL}', "--who", "N\u0085ell\u2066", "--at", "2026-03-09")
    listed = run(folder, program, "log", "list", "--log", "names.log")[1]
    for text in (out, listed):
        if code or any(mark in text for mark in "\u202e\u009b\u0085\u2066") or "T<U+202E>ays" not in text:
            yield "exit %d, %r" % (code, text)


def main(program):
    program = os.path.abspath(program)
    faults = []
    with tempfile.TemporaryDirectory() as top:
        folder = os.path.join(top, "site")
        shutil.copytree(EXAMPLES, folder)
        for step in (asks_for_what_differs, what_options_say_is_not_asked, ended_early, never_asks_elsewhere, asks_which,
                     the_plan_of_the_day, a_reading_is_the_meters, undo_takes_its_words_in_either_order,
                     names_are_harmless):
            faults += ["%s: %s" % (step.__name__, fault) for fault in step(program, folder)]
    for fault in faults:
        print(fault)
    print("%d faults" % len(faults))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))

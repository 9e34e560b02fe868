#!/usr/bin/env python3
"""Opens every page that the program writes in a real browser, as a phone, a screen and paper.

    browser.py PROGRAM BUILD            asks the questions of tests/answers and of the table below, each as a page
    browser.py --bless PROGRAM BUILD    keeps what is seen as tests/browser/expected; the diff is read like code

Pages, screenshots and printed sheets are left in BUILD/browser. Skipped (77) where Chromium, Node, pdftotext or the two
packages of package.json cannot be had; in continuous integration (CI is set) that is a failure.
"""
import glob
import os
import shutil
import subprocess
import sys

sys.dont_write_bytecode = True
HERE = os.path.dirname(os.path.abspath(__file__))
TESTS = os.path.dirname(HERE)
sys.path.insert(0, TESTS)
import answers  # the reader of a folder of questions

SITE = "examples/fernhollow/site.yaml"
LONG = "W" * 60  # as long as a name may be, and nowhere to break it
HOSTILE = ['{name: "<script>alert(1)</script>", rate: 1-4 mL/L, hazards: [H318]}',
           '{name: "\\"quoted\\" & \'single\' <img src=x onerror=alert(2)>", rate: 1-4 mL/L}',
           '{name: "\u05e9\u05dc\u05d5\u05dd \u202e txt.exe \u0645\u0631\u062d\u0628\u0627", rate: 1-4 mL/L}',
           '{name: "%s", rate: 1-4 mL/L}' % LONG, '{name: "\U0001F331\U0001F469\u200d\U0001F33E root", rate: 1-4 mL/L}']

# Pages whose texts and boxes are kept, and the most sheets of paper that they may take.
KEPT = {
    "change": ["mix", SITE, "Mother bed"],
    "mist": ["mist", SITE, "Mister"],
    "week": ["plan", SITE, "--from", "2026-03-09", "--days", "7"],
    "water": ["water", "--analysis", "{Ca: 42 mg/L, Mg: 8 mg/L, Na: 15 mg/L, Cl: 22 mg/L, SO4: 30 mg/L}", "--alkalinity",
              "120 mg/L CaCO3", "--ph", "7.4"],
    "hostile": ["mix", "--volume", "60 L", "--water-ec", "0.3 mS/cm", "--note", "</p><b onclick=alert(3)>", "--who", "x" * 200]
               + [word for part in HOSTILE for word in ("--part", part)],
}


def skip(why):
    print(why)
    sys.exit(1 if os.environ.get("CI") else 77)


def tools(work):
    """Chromium, Node and pdftotext; the packages are put beside the pages, once."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    for name, found in (("chromium", chromium), ("node", shutil.which("node")), ("npm", shutil.which("npm")),
                        ("pdftotext", shutil.which("pdftotext"))):
        if not found:
            skip("%s is not installed" % name)
    for name in ("package.json", "package-lock.json"):
        shutil.copy(os.path.join(HERE, name), work)
    if not os.path.isdir(os.path.join(work, "node_modules", "playwright-core")):
        done = subprocess.run(["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund"], cwd=work,
                              stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=240)
        if done.returncode:
            skip("npm could not install what package-lock.json names: " + done.stderr[-400:])
    return chromium


def page(command, environment, name, pages):
    """Writes one page; False where the question was refused and there is no sheet."""
    done = subprocess.run(command, cwd=os.path.dirname(TESTS), env=environment, stdin=subprocess.DEVNULL,
                          capture_output=True, timeout=60)
    if done.stdout:
        with open(os.path.join(pages, name + ".html"), "wb") as file:
            file.write(done.stdout)
    return bool(done.stdout)


def learned(program, work):
    """The question of what a log teaches: one of its readings is not to be believed."""
    log = os.path.join(work, "learned.log")
    for name in glob.glob(log + "*"):
        os.remove(name)
    subprocess.run([program, "log", "import", SITE, os.path.join(HERE, "learned.log.txt"), "--log", log], check=True,
                   cwd=os.path.dirname(TESTS), capture_output=True)
    return ["learn", SITE, "--log", log]


def write_pages(program, pages):
    shutil.rmtree(pages, ignore_errors=True)
    os.makedirs(pages)
    environment = {**os.environ, "SOURCE_DATE_EPOCH": "1772409600", "LC_ALL": "C.UTF-8",  # Mon 2 Mar 2026
                   "PATH": os.path.dirname(program) + os.pathsep + os.environ["PATH"]}
    for name, words in {**KEPT, "learned": learned(program, os.path.dirname(pages))}.items():
        if not page([program] + words + ["--format", "html"], environment, "kept-" + name, pages):
            sys.exit("%s gave no page" % name)
    for file in sorted(glob.glob(os.path.join(TESTS, "answers", "*.txt"))):
        variables, cases = answers.read(file)
        for case in cases:
            stem = "%s-%d" % (os.path.splitext(os.path.basename(file))[0], case["at"])
            page(["sh", "-c", variables + case["command"] + " --format html"], environment, stem, pages)


def main(words):
    bless = "--bless" in words
    program, build = [os.path.abspath(word) for word in words if word != "--bless"]
    work = os.path.join(build, "browser")
    os.makedirs(work, exist_ok=True)
    chromium = tools(work)
    write_pages(program, os.path.join(work, "pages"))
    shutil.copy(os.path.join(HERE, "look.mjs"), work)
    return subprocess.run(["node", "look.mjs", chromium, os.path.join(HERE, "expected")] + ["--bless"] * bless, cwd=work,
                          stdin=subprocess.DEVNULL, timeout=500).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

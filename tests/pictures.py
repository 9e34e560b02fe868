#!/usr/bin/env python3
"""Takes the pictures of the README anew: a reservoir change as it is printed on A5, and a tank through a planned week.

    pictures.py PROGRAM [FOLDER]       writes sheet.png and week.png, into examples/pictures where no folder is given

Needs Chromium and pdftoppm (packages chromium and poppler-utils).
"""
import os
import re
import shutil
import subprocess
import sys
import tempfile

TOP = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
SITE = "examples/fernhollow/site.yaml"
MOST = 150 * 1024  # bytes: a README is read on a phone too
CHROMIUM = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
            "--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-pdf-header-footer"]


def page(program, *words):
    done = subprocess.run([program, *words, "--format", "html"], cwd=TOP, check=True, stdout=subprocess.PIPE,
                          env={**os.environ, "SOURCE_DATE_EPOCH": "1773014400"})  # Mon 9 Mar 2026
    return done.stdout.decode("utf-8")


def browse(work, *words):
    with tempfile.TemporaryDirectory(dir=work) as profile:
        subprocess.run([shutil.which("chromium") or "chromium-browser", *CHROMIUM, "--user-data-dir=" + profile, *words],
                       check=True, stderr=subprocess.DEVNULL, timeout=120)


def written(work, name, text):
    path = os.path.join(work, name)
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
    return "file://" + path


def sheet(program, work, folder):
    text = page(program, "mix", SITE, "Mother bed")
    # From the command line Chromium prints for letter paper unless the page names another, and still judges the width of
    # the type by letter.
    text = text.replace("@page{margin", "@page{size:A5;margin").replace("print and (min-width", "not all and (min-width")
    printed = os.path.join(work, "sheet.pdf")
    browse(work, "--print-to-pdf=" + printed, written(work, "sheet.html", text))
    subprocess.run(["pdftoppm", "-r", "96", "-gray", "-singlefile", "-png", printed, os.path.join(folder, "sheet")],
                   check=True)


def week(program, work, folder):
    text = page(program, "plan", SITE, "--from", "2026-03-09", "--days", "7")
    head = text[:text.index("<main")]
    chart = next(svg for svg in re.findall(r"<svg.*?</svg>", text, re.S) if ">Mother bed</title>" in svg)
    wide, high = 600, round(float(re.search(r'viewBox="0 0 600 ([\d.]+)"', chart).group(1)))
    plain = "<style>body{margin:0;padding:0;max-width:none}</style>"
    url = written(work, "week.html", head + plain + chart + "</body></html>")
    browse(work, "--screenshot=" + os.path.join(folder, "week.png"), "--hide-scrollbars",
           "--window-size=%d,%d" % (wide, high), url)


def main(program, folder=os.path.join(TOP, "examples", "pictures")):
    program, folder = os.path.abspath(program), os.path.abspath(folder)
    os.makedirs(folder, exist_ok=True)
    with tempfile.TemporaryDirectory() as work:
        sheet(program, work, folder)
        week(program, work, folder)
    sizes = {name: os.path.getsize(os.path.join(folder, name)) for name in ("sheet.png", "week.png")}
    print(", ".join("%s %d bytes" % size for size in sizes.items()))
    return 1 if max(sizes.values()) > MOST else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))

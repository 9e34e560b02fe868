#!/usr/bin/env python3
"""Every answer in all five forms, each read back by hand: text, page, table, calendar and JSON say the same numbers.

    same_numbers.py PROGRAM FOLDER     asks the questions of FOLDER's *.txt five times; exits 1 where two forms differ

JSON has every digit. The table must have the same ones; what text, page and calendar print must be JSON's number
rounded where they end it. Text and page must hold the same numbers, all of them, wherever they stand.
"""
import csv
import glob
import html.parser
import io
import json
import os
import re
import subprocess
import sys

sys.dont_write_bytecode = True
import answers  # the reader of such a folder, beside this file

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
SAID = {"gal-us": "US gal", "fl-oz-us": "US fl oz", "tsp-us": "US tsp", "gal-imp": "imp gal", "fl-oz-imp": "imp fl oz"}


class Page(html.parser.HTMLParser):
    """The steps of a page, its figures, what to expect, and every number outside its charts and style."""

    def __init__(self, text):
        super().__init__()
        self.steps, self.figures, self.expects, self.words = [], [], [], []
        self.path, self.table = [], None
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        if tag in ("meta", "input"):
            return
        self.path.append((tag, dict(attributes).get("class", "")))
        if tag == "table":
            self.table = dict(attributes).get("class", "")
        if tag == "span" and self.path[-1][1] in ("amount", "then"):
            self.steps.append("")
        if tag == "td" and self.path[-1][1] == "number":
            self.figures.append("")
        if tag == "strong":
            self.expects.append("")

    def handle_endtag(self, tag):
        if tag in ("meta", "input"):
            return
        while self.path and self.path.pop()[0] != tag:
            pass

    def handle_data(self, data):
        tags = [tag for tag, _ in self.path]
        if "style" in tags or "svg" in tags or "title" in tags:
            return
        data = data.replace("\u00a0", " ")
        self.words.append(data)
        classes = [kind for _, kind in self.path]
        if "do" in classes and self.steps:
            self.steps[-1] += data.replace(" then ", "", 1) if classes[-1] == "then" else data
        if "strong" in tags:
            self.expects[-1] += data
        if classes and classes[-1] == "number":
            self.figures[-1] += data


def unfolded(text):
    return text.replace("\r\n ", "")


def calendar_lines(text):
    """The descriptions of the events, those of their alarms left out."""
    out, alarm = [], False
    for line in unfolded(text).split("\r\n"):
        if line.endswith(":VALARM"):
            alarm = line.startswith("BEGIN")
        if line.startswith("DESCRIPTION:") and not alarm:
            out += re.sub(r"\\([,;\\])", r"\1", line[12:].replace("\\n", "\n")).split("\n")
    return out


def text_rows(text):
    return [line[3:].strip() for line in text.splitlines() if line.startswith("[ ]")]


def calendar_rows(text):
    return [re.sub(r"^\d+\. ", "", line) for line in calendar_lines(text) if re.match(r"\d+\. ", line)]


def rounded(printed, value):
    """Whether `printed` is `value` as people are told it: rounded at its last digit, or to three figures."""
    places = len(printed.partition(".")[2])
    return abs(float(printed) - value) <= max(0.5 * 10 ** -places * 1.0001, 0.005 * abs(value) if not places else 0)


def measured(row):
    """The amount that a row of JSON leads with; None where it has none."""
    read = row.get("expect")
    if row.get("amount"):
        return row["amount"]
    if row["do"] == "top" and row.get("make"):
        return row["make"]
    if row["do"] == "read":
        return read if read and "value" in read else None
    return row.get("time")


def row_fault(row, said):
    amount = measured(row)
    window = (row.get("expect") or {}).get("ph")
    if window:
        ends = [end for end in (window.get("low"), window.get("high")) if end is not None]
        found = NUMBER.findall(said.partition("pH")[2])
        if not found or not all(rounded(one, end) for one, end in zip(found, ends)):
            return "no pH window %s in %r" % (ends, said)
    if amount is None:
        return None
    match = re.match(r"(-?[\d.]+) +(.*)", said, re.S)
    unit = SAID.get(amount["unit"], amount["unit"])
    if not match or not rounded(match.group(1), amount["value"]):
        return "%r does not begin with %.6g" % (said, amount["value"])
    if unit != "1" and not match.group(2).startswith(unit):
        return "%r is not in %s" % (said, unit)
    within = re.search("± ([\\d.]+)", said)
    if bool(within) != ("within" in amount) or (within and not rounded(within.group(1), amount["within"])):
        return "%r does not have its tolerance" % said
    return None


def sheets_of(sheet):
    return sheet.get("jobs") or [sheet]


def rows_of(sheet):
    return [row for job in sheets_of(sheet) for row in job.get("rows", [])]


def compare_rows(form, rows, said):
    if len(rows) != len(said):
        yield "%s has %d rows, JSON %d" % (form, len(said), len(rows))
    for row, words in zip(rows, said):
        fault = row_fault(row, words)
        if fault:
            yield "%s: %s" % (form, fault)


def leaves(figures):
    for value in figures.values():
        if isinstance(value, dict) and "value" not in value:
            yield from leaves(value)
        elif isinstance(value, dict) and value["value"] is not None:
            yield value["value"]


def table_faults(sheet, lines):
    rows = [line for line in lines if line["do"] not in ("figure", "record")]
    for row, line in zip(rows_of(sheet), rows):
        amount = measured(row)
        if line["do"] != row["do"] or (amount and float(line["amount"] or "nan") != amount["value"]):
            yield "table: %s %s, JSON has %s" % (line["do"], line["amount"], row)
        if row.get("exact") and float(line["exact"] or "nan") != row["exact"]["value"]:
            yield "table: exact %s, JSON has %s" % (line["exact"], row["exact"])
    if rows_of(sheet) and len(rows) != len(rows_of(sheet)):
        yield "table has %d rows, JSON %d" % (len(rows), len(rows_of(sheet)))
    if not sheet.get("rows") and not sheet.get("jobs"):
        figures = sorted(float(line["amount"]) for line in lines if line["do"] == "figure" and line["amount"])
        if figures != sorted(leaves(sheet.get("figures", {}))):
            yield "table has the figures %s, JSON %s" % (figures, sorted(leaves(sheet.get("figures", {}))))
    for job in sheets_of(sheet):
        ec = job.get("expect", {}).get("ec")
        lasts = [line["final_ec"] for line in rows if line["title"] == job.get("title")]
        if ec and lasts and all(float(last or "nan") != ec["value"] for last in lasts):
            yield "table ends at %s, JSON at %.6g" % (lasts[-1], ec["value"])


def expect_faults(form, sheet, said):
    wanted = [job["expect"]["ec"] for job in sheets_of(sheet) if job.get("expect", {}).get("ec")]
    got = [re.search(r"(-?[\d.]+) mS/cm(?: ± ([\d.]+))?", words) for words in said]
    got = [match for match in got if match]
    if len(got) != len(wanted):
        yield "%s expects %d readings, JSON %d" % (form, len(got), len(wanted))
    for match, ec in zip(got, wanted):
        if not rounded(match.group(1), ec["value"]) or (match.group(2) and not rounded(match.group(2), ec["within"])):
            yield "%s expects %s, JSON %s" % (form, match.group(0), ec)


def faults(forms):
    sheet, page = json.loads(forms["json"]), Page(forms["html"])
    lines = list(csv.DictReader(io.StringIO(forms["csv"], newline="")))
    rows = rows_of(sheet)
    yield from compare_rows("text", rows, text_rows(forms["text"]))
    yield from compare_rows("page", rows, page.steps)
    yield from table_faults(sheet, lines)
    yield from expect_faults("page", sheet, page.expects)
    if forms["ics"]:
        described = calendar_lines(forms["ics"])
        yield from compare_rows("calendar", rows, calendar_rows(forms["ics"]))
        yield from expect_faults("calendar", sheet, [line for line in described if line.startswith("Expect ")])
    elif rows:
        yield "no calendar"
    text, words = set(NUMBER.findall(forms["text"])), set(NUMBER.findall(" ".join(page.words)))
    if text != words:
        yield "text alone has %s, the page alone %s" % (sorted(text - words), sorted(words - text))


def ask(case, variables, program):
    env = {**os.environ, "PATH": os.path.dirname(os.path.abspath(program)) + os.pathsep + os.environ["PATH"],
           "SOURCE_DATE_EPOCH": "1772409600", "NO_COLOR": "1"}
    top = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    forms = {}
    for form in ("json", "text", "html", "csv", "ics"):
        done = subprocess.run(["sh", "-c", variables + case["command"] + " --format " + form], cwd=top, env=env,
                              stdin=subprocess.DEVNULL, capture_output=True, timeout=60)
        forms[form] = done.stdout.decode("utf-8")
    return forms


def main(program, folder):
    sheets = events = broken = 0
    for name in sorted(glob.glob(os.path.join(folder, "*.txt"))):
        variables, cases = answers.read(name)
        for case in cases:
            forms = ask(case, variables, program)
            if not forms["json"]:
                continue
            sheets += 1
            events += forms["ics"].count("BEGIN:VEVENT")
            for fault in faults(forms):
                broken += 1
                print("%s:%d: %s" % (os.path.basename(name), case["at"], fault))
    print("%d sheets in five forms, %d events, %d differences" % (sheets, events, broken))
    return 1 if broken or sheets < 50 or events < 50 else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2]))

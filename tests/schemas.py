#!/usr/bin/env python3
"""Holds what the program writes and reads against the schemas it gives out (draft 2020-12, the `jsonschema` package):

    schemas.py PROGRAM

every answer and complaint of tests/answers and of the batch cases in tests/golden by `aliquot schema sheet`; every batch line by
`schema batch`; recipes, examples and good documents by `schema recipe` and `schema site`, read as a YAML 1.2 editor
reads them; and documents with an unknown key are refused by both. Exits 77, skipped, where a package is missing.
"""
import glob
import json
import os
import re
import subprocess
import sys
import tempfile
import warnings

warnings.simplefilter("ignore", DeprecationWarning)
try:
    import jsonschema
    import yaml
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

TESTS = os.path.dirname(os.path.abspath(__file__))
TOP = os.path.dirname(TESTS)
sys.path.insert(0, TESTS)
import answers  # noqa: E402

# What a document may hold that no schema can see: units, limits, names that must have been declared.
UNKNOWN_KEYS = ["recipe-keys-unknown", "recipe-head-of-a-site", "recipe-parts-missing", "site-head-of-a-recipe"]


class Editor(yaml.BaseLoader):
    """Plain scalars as the core schema of YAML 1.2 has them: numbers, true, false; no dates, no sexagesimals."""


def plain(loader, node):
    text = node.value
    if node.style is None and re.fullmatch(r"[-+]?(\d+|\d*\.\d+|\d+\.\d*)", text):
        return float(text) if "." in text else int(text)
    if node.style is None and text in ("true", "false"):
        return text == "true"
    return text


Editor.add_constructor("tag:yaml.org,2002:str", plain)


def schema(program, name):
    found = json.loads(subprocess.run([program, "schema", name], capture_output=True, check=True).stdout)
    jsonschema.Draft202012Validator.check_schema(found)
    return jsonschema.Draft202012Validator(found)


def faults_of(validator, value):
    return ["%s: %s" % ("/".join(map(str, fault.absolute_path)) or "top", fault.message[:160])
            for fault in validator.iter_errors(value)]


def sheets(program):
    """Every answer that the cases of tests/answers get."""
    for name in sorted(glob.glob(os.path.join(TESTS, "answers", "*.txt"))):
        variables, cases = answers.read(name)
        for case in cases:
            out = answers.ask(case, program, variables).stdout
            if out:
                yield "%s:%d" % (os.path.basename(name), case["at"]), json.loads(out)


def lines(pattern):
    for name in sorted(glob.glob(os.path.join(TESTS, "golden", "batch", "*", pattern))):
        with open(name, encoding="utf-8") as file:
            for at, line in enumerate(file, 1):
                try:
                    yield "%s:%d" % (os.path.relpath(name, TESTS), at), json.loads(line)
                except ValueError:
                    continue  # a case about a line that is no JSON


def documents(kind):
    """Those of tests, recipes and examples that are right and of that kind."""
    for folder in ["tests/documents/whole/good/*", "recipes", "examples/*", "cli/starter"]:
        for name in sorted(glob.glob(os.path.join(TOP, folder, "*.yaml"))):
            with open(name, encoding="utf-8") as file:
                text = file.read()
            if re.search(r"^aliquot: *%s 1" % kind, text, re.M):
                yield os.path.relpath(name, TOP), yaml.load(text, Editor), yaml.load(text, yaml.BaseLoader)


def unanswered(program):
    """Batch lines of every kind of complaint; each must be an error object, and one that is changed must be refused."""
    asked = ['{"job":"mix"', '{"job":"mix","id":3,"volume":"1,5 L"}', '{"job":"mix","id":"x"}', '{"id":[1]}', "[]",
             '{"job":"mxi"}', '{"job":"acid","volum":"200 L"}', '{"job":"dilute","to":"1:4","make":"1 L"}']
    out = subprocess.run([program, "batch"], input="\n".join(asked) + "\n", capture_output=True, text=True).stdout
    for at, line in enumerate(out.splitlines(), 1):
        error = json.loads(line)
        assert error["aliquot"] == "error 1" and error["line"] == at, line
        yield "line %d of its own" % at, error


def learned(program):
    """A log with one reading that is not believed."""
    log = os.path.join(TESTS, "browser", "learned.log.txt")
    site = os.path.join(TOP, "examples", "fernhollow", "site.yaml")
    with tempfile.TemporaryDirectory() as folder:
        kept = ["--log", os.path.join(folder, "learned.log")]
        subprocess.run([program, "log", "import", site, log] + kept, check=True, capture_output=True)
        sheet = json.loads(subprocess.run([program, "learn", site, "--format", "json"] + kept, capture_output=True).stdout)
    assert [row for row in sheet["learned"] if "entry" in row], "nothing was doubted"
    return "learned", sheet


def check_answers(program):
    sheet, batch, count, faults = schema(program, "sheet"), schema(program, "batch"), 0, []
    for name, answer in [*sheets(program), *lines("out"), *unanswered(program), learned(program)]:
        count += 1
        faults += ["%s: %s" % (name, fault) for fault in faults_of(sheet, answer)]
    answered = {answer.get("id") for _, answer in lines("out") if answer.get("aliquot") == "sheet 1"}
    for name, line in lines("*.jsonl"):
        if isinstance(line, dict) and "id" in line and line["id"] in answered:
            count += 1
            faults += ["%s: %s" % (name, fault) for fault in faults_of(batch, line)]
    for wrong in [{"aliquot": "error 1", "errors": [{"status": "AQ_SYNTAX", "text": "?"}]},
                  {"aliquot": "error 1", "line": 0, "errors": [{"status": "AQ_SYNTAX", "text": "?"}]},
                  {"aliquot": "error 1", "line": 1, "errors": []}, {"aliquot": "sheet 1", "line": 1}, {}]:
        if not faults_of(sheet, wrong):
            faults.append("sheet: taken: %s" % wrong)
    for line in [{}, {"job": "mxi"}, {"job": "acid", "volum": "200 L"}, {"job": "acid", "reads": "900 ppm"}]:
        if not faults_of(batch, line):
            faults.append("batch: taken: %s" % line)
    return count, faults


def check_documents(program):
    count, faults = 0, []
    for kind in ["recipe", "site"]:
        validator = schema(program, kind)
        for name, typed, texts in documents(kind):
            count += 1
            faults += ["%s: %s" % (name, fault) for fault in faults_of(validator, typed)]
            faults += ["%s, read as texts: %s" % (name, fault) for fault in faults_of(validator, texts)]
        for name in UNKNOWN_KEYS:
            with open(os.path.join(TESTS, "documents/whole/bad", name, "input.yaml"), encoding="utf-8") as file:
                wrong = yaml.load(file, Editor)
            if name.startswith(kind) and not faults_of(validator, wrong):
                faults.append("%s: taken" % name)
    return count, faults


def main(program):
    answered, faults = check_answers(program)
    documented, more = check_documents(program)
    faults += more
    for fault in faults:
        print(fault)
    print("%d answers and lines, %d documents, %d faults" % (answered, documented, len(faults)))
    return 1 if faults or not answered or not documented else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))

#!/usr/bin/env python3
"""Reads every sample page with an XML parser and checks what a person without a mouse, a screen or a network needs.

    pages.py PROGRAM       PROGRAM prints the sample sheets; exits 1 where a page falls short

The rules are those of WCAG 2.1 that a program can check: language (3.1.1), title (2.4.2), headings in order (1.3.1),
header cells and captions of tables (1.3.1), names of controls (4.1.2), text in place of pictures (1.1.1), contrast
(1.4.3, 1.4.11); and ours: no script, nothing fetched, no row split between two sheets of paper.
"""
import re
import subprocess
import sys
import xml.etree.ElementTree as xml

FETCHES = {"src", "href", "srcset", "data", "action", "poster", "background"}
UNWANTED = {"script", "link", "img", "iframe", "object", "embed", "form", "base"}


def luminance(colour):
    """Relative luminance as WCAG 2.1 defines it."""
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(c * 2 for c in digits)
    total = 0
    for place, share in ((0, 0.2126), (2, 0.7152), (4, 0.0722)):
        part = int(digits[place:place + 2], 16) / 255
        total += share * (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4)
    return total


def contrast(one, other):
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def words(element):
    return "".join(element.itertext()).strip()


def style_faults(style):
    schemes = re.findall(r"--ink:(#\w+);--paper:(#\w+);--line:(#\w+)", style)
    if len(schemes) != 2:
        yield "%d colour schemes, want one for light and one for dark" % len(schemes)
    for ink, paper, line in schemes:
        if contrast(ink, paper) < 7:
            yield "text %s on %s has too little contrast" % (ink, paper)
        if contrast(line, paper) < 4.5:
            yield "lines %s on %s have too little contrast" % (line, paper)
    if re.search(r"url\(|@import|expression", style):
        yield "the style fetches something"
    if not re.search(r"\btr,[^{]*\{break-inside:avoid\}", style):
        yield "a row may be split between pages"
    if re.search(r"[{;](min-)?width:\d{3,}px", style):
        yield "something is wider than a phone"


def table_faults(table):
    caption = table.find("caption")
    if caption is None or not words(caption):
        yield "a table has no caption"
    heads = table.findall("thead/tr/th")
    if not heads or any(head.get("scope") != "col" or not words(head) for head in heads):
        yield "a table has no header cells for its columns"
    for row in table.findall("tbody/tr"):
        if len(row) != len(heads):
            yield "a row of %d cells under %d headers" % (len(row), len(heads))


def element_faults(root):
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    if len(ids) != len(set(ids)):
        yield "an id is used twice"
    for element in root.iter():
        if element.tag in UNWANTED:
            yield "holds a %s" % element.tag
        for name in element.attrib:
            if name in FETCHES or name.startswith("on"):
                yield "%s has the attribute %s" % (element.tag, name)
        if element.tag == "input" and len(element.get("aria-label", "").strip()) < 7:
            yield "a box to tick has no name"
        if element.tag == "svg":
            says = element.get("aria-labelledby", "").split()
            texts = [found for found in element.iter() if found.get("id") in says and words(found)]
            if element.get("role") != "img" or len(says) != 2 or len(texts) != 2:
                yield "a chart says nothing in words"
        if element.tag == "table":
            yield from table_faults(element)


def heading_faults(root):
    levels = [int(element.tag[1]) for element in root.iter() if re.fullmatch(r"h[1-6]", element.tag)]
    if levels.count(1) != 1 or levels[:1] != [1]:
        yield "headings do not begin with the one h1"
    for before, after in zip(levels, levels[1:]):
        if after > before + 1:
            yield "heading h%d follows h%d" % (after, before)


def faults(text):
    if any(ord(c) < 32 and c != "\n" or 0x7f <= ord(c) < 0xa0 or 0x202a <= ord(c) <= 0x202e for c in text):
        yield "a control character stands on the page"
    if "http:" in text or "https:" in text:
        yield "an address stands on the page"
    root = xml.fromstring(text)
    if root.get("lang") != "en":
        yield "no language"
    if not words(root.find("head/title")):
        yield "no title"
    if "default-src 'none'" not in root.find("head/meta[@http-equiv]").get("content"):
        yield "the page does not forbid fetching"
    yield from style_faults(root.find("head/style").text)
    yield from heading_faults(root)
    yield from element_faults(root)
    hazards = text.find('class="hazards"')
    amounts = text.find('class="amount"')
    if hazards >= 0 and 0 <= amounts < hazards:
        yield "an amount stands above the hazards"


def page(program, name):
    done = subprocess.run([program, "html", name], capture_output=True, check=True)
    return done.stdout.decode("utf-8")


def main(program):
    names = subprocess.run([program], capture_output=True, check=True, text=True).stdout.split()
    found = [(name, fault) for name in names for fault in faults(page(program, name))]
    if page(program, "plan").count("<svg") != 2:
        found.append(("plan", "no chart of the one tank with two jobs, and of the doses"))
    if page(program, "water").count("<svg") != 1:
        found.append(("water", "no chart of its elements"))
    for name, fault in found:
        print("%s: %s" % (name, fault))
    print("%d pages, %d faults" % (len(names), len(found)))
    return 1 if found or len(names) < 7 else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))

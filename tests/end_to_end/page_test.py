#!/usr/bin/env python3
"""The report as an HTML page in the hands of a browser: sound, heard as well as seen, without network,
on paper; and with names that somebody chose to do harm."""
import json
import re
import shutil
import subprocess
import unittest
from html.parser import HTMLParser

from programs import EndToEnd, quaycell

# What tidy does not know of SVG inside HTML; all four are valid (SVG 1.1, 5.1.2 and 6.1; SVG 2, 5.7).
NOT_A_FAULT = re.compile(r'<svg> attribute "(width|height)" has invalid value|'
                         r'<(svg|title|desc)> proprietary attribute "(font-family|id)"')
HOSTILE = ('</title><script>alert(1)</script> "\'`&amp;<b> --> ]]> \u05d0\u05d1\u05d2 \u202egnp.exe \u200f '
           + "W" * 300 + " \U0001f6a2\U0001f468\u200d\U0001f469\u200d\U0001f467 e\u0301 \\")


def toml(text):
    return '"' + "".join(c if c.isprintable() and c not in '"\\' else f"\\U{ord(c):08x}" for c in text) + '"'


class Outline(HTMLParser):
    """Tags with their attributes, the text of each id, and what stands in scripts."""

    def __init__(self):
        super().__init__()
        self.tags, self.texts, self.open = [], {}, []

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        self.tags.append((tag, attributes))
        self.open.append(attributes.get("id"))
        if tag in ("meta", "br"):
            self.open.pop()

    def handle_startendtag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))

    def handle_endtag(self, _tag):
        self.open.pop()

    def handle_data(self, data):
        if self.open and self.open[-1]:
            self.texts[self.open[-1]] = self.texts.get(self.open[-1], "") + data


class Page(EndToEnd):
    def setUp(self):
        super().setUp()
        self.csv = self.folder / "days.csv"
        rows = "".join(f"2026-05-{4 + i // 48:02}T{i // 2 % 24:02}:{i % 2 * 30:02}:00Z,{-1000 + 80 * (40 < i < 60)},"
                       f"agcl/open\r\n" for i in range(96))
        self.csv.write_text("time,potential_mv,cell_scale\r\n" + rows, encoding="ascii", newline="")

    def report(self, output, name="Sanderling", word="plain"):
        vessel = self.folder / "boat.toml"
        vessel.write_text(f'[vessel]\nname = {toml(name)}\nhull = "aluminium"\nberth = {toml(word)}\n'
                          f'[[anode]]\nplace = {toml(word)}\nalloy = "zinc"\n[cell]\nserial = {toml(word)}\n',
                          encoding="utf-8")
        visit = self.folder / "visit.toml"
        keys = ("number", "prepared_by", "place", "scope", "weather", "cell_hung", "opinion", "not_inspected")
        visit.write_text("[inspection]\n" + "".join(f"{key} = {toml(word)}\n" for key in keys), encoding="utf-8")
        path = self.folder / output
        made = quaycell("report", "--trace", self.csv, "--vessel", vessel, "--inspection", visit, "--output", path)
        self.assertEqual(made.returncode, 0, made.stderr)
        return path

    def outline(self, page):
        outline = Outline()
        outline.feed(page.read_text(encoding="utf-8"))
        outline.close()
        self.assertEqual(outline.open, [], "every tag is closed")
        return outline

    def assert_valid(self, page):
        checked = subprocess.run(["tidy", "-q", "-e", "-utf8", page], capture_output=True, text=True)
        faults = [line for line in checked.stderr.splitlines() if not NOT_A_FAULT.search(line)]
        self.assertEqual(faults, [])
        self.assertNotIn("Error", checked.stderr)

    def printed(self, page):
        """The page as a browser prints it, and what it asked any host for; what the browser asks for by
        itself does not count."""
        paper, log = self.folder / "printed.pdf", self.folder / "net.json"
        browser = subprocess.run(
            ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--disable-sync",
             f"--user-data-dir={self.folder / 'profile'}", "--proxy-server=127.0.0.1:9",  # nobody is there
             f"--log-net-log={log}", "--no-pdf-header-footer", f"--print-to-pdf={paper}", page.as_uri()],
            capture_output=True, text=True, timeout=120)
        self.assertTrue(paper.exists(), browser.stderr[-500:])
        text = subprocess.run(["pdftotext", "-layout", paper, "-"], capture_output=True, text=True).stdout
        starts = [event.get("params", {}) for event in json.loads(log.read_text(encoding="utf-8"))["events"]]
        return text, [each["url"] for each in starts if each.get("initiator") in ("null", "file://")
                      and not each.get("url", "file:").startswith("file:")]

    def test_it_is_valid_and_tells_those_who_hear_it_what_figures_and_tables_are(self):
        page = self.report("days.html")
        self.assert_valid(page)
        outline = self.outline(page)
        self.assertIn(("html", {"lang": "en-GB"}), outline.tags)
        pictures = [attributes for tag, attributes in outline.tags if tag == "svg"]
        self.assertEqual(len(pictures), 2)
        for attributes, word in zip(pictures, ("All together", "protected")):  # the budget, the trace
            self.assertEqual(attributes["role"], "img")
            words = [outline.texts[each] for each in attributes["aria-labelledby"].split()]
            self.assertTrue(all(words), words)
            self.assertIn(word, " ".join(words))
        tables = sum(tag == "table" for tag, _ in outline.tags)
        self.assertGreaterEqual(tables, 4)
        self.assertEqual(sum(tag == "caption" for tag, _ in outline.tags), tables)
        for tag, attributes in outline.tags:
            if tag == "th":
                self.assertEqual(attributes["scope"], "col")
        headings = [tag for tag, _ in outline.tags if re.fullmatch("h[1-6]", tag)]
        self.assertEqual(headings, ["h1"] + ["h2"] * (len(headings) - 1))

    @unittest.skipUnless(shutil.which("chromium"), "needs chromium")
    def test_a_browser_prints_it_whole_and_asks_nobody_for_anything(self):
        asking = self.folder / "asking.html"
        asking.write_text('<!DOCTYPE html><title>a</title><img alt="" src="http://probe.invalid/x.png">')
        self.assertEqual(self.printed(asking)[1], ["http://probe.invalid/x.png"])  # this would notice
        text, asked = self.printed(self.report("days.html"))
        self.assertEqual(asked, [])
        order = ["Hull potential report", "In short", "Who, what and where", "Criteria", "Results", "Events",
                 "Opinion and advice", "Evidence", "Signature"]
        places = [text.find(each) for each in order]
        self.assertEqual(places, sorted(places), list(zip(order, places)))
        self.assertNotIn(-1, places)
        sheet = next(sheet for sheet in text.split("\f") if "Place and date" in sheet)
        self.assertRegex(sheet, r"(?s)Name.*Place and date.*Signature", "those who sign do so on one sheet")

    def test_hostile_names_stay_text_in_page_pdf_and_evidence(self):
        page = self.report("hostile.html", HOSTILE, HOSTILE)
        self.assert_valid(page)
        outline = self.outline(page)
        tags = {tag for tag, _ in outline.tags}
        self.assertFalse(tags & {"script", "b", "img", "iframe", "a", "link"}, tags)
        for _, attributes in outline.tags:
            self.assertFalse([name for name in attributes if name.startswith("on") or name in ("href", "src")])
        text = page.read_text(encoding="utf-8")
        self.assertNotIn("\u202e", text)
        self.assertIn("W" * 300, text)
        pdf = self.report("hostile.pdf", HOSTILE, HOSTILE)
        self.assertEqual(subprocess.run(["qpdf", "--check", pdf], capture_output=True).returncode, 0)
        for each in (page, pdf):
            verified = quaycell("verify", each)
            self.assertEqual(verified.returncode, 0, verified.stdout + verified.stderr)

    def test_every_control_character_and_direction_mark_does_too(self):
        name = "".join(map(chr, [*range(1, 32), 0x7f, *range(0x80, 0xa0), *range(0x200b, 0x2010),
                                 *range(0x2028, 0x202f), *range(0x2066, 0x206a), 0xfdd0, 0xfeff, 0xfffe, 0xffff, 0x1fffe, 0x10ffff]))
        page = self.report("marks.html", "Wren " + name, name)
        self.assert_valid(page)
        text = page.read_text(encoding="utf-8")
        for each in "\x00\x07\x1b\x7f\x9b\u202e\u2066":
            self.assertNotIn(each, text)
        for each in (page, self.report("marks.pdf", "Wren " + name, name)):
            verified = quaycell("verify", each)
            self.assertEqual(verified.returncode, 0, verified.stdout + verified.stderr)
            self.assertNotIn("\x1b", verified.stdout)


if __name__ == "__main__":
    unittest.main()

"""A report and a figure, as a surveyor asks for them: by the programs that read PDFs."""
import hashlib
import json
import math
import re
import subprocess
import unittest
from datetime import datetime, timedelta, timezone

from programs import EndToEnd, quaycell

HOSTILE = '<b>"Wren" & \\\' ' + "\u05d0\u05d1 \u202eevil " + "W" * 300 + " \U0001f6a2"

VESSEL = """
[vessel]
name = {name}
hull = "aluminium"
berth = "an invented quay"
[water]
salinity_psu = [22, 33]
temperature_c = 12
"""


def run(*arguments):
    return subprocess.run(list(map(str, arguments)), capture_output=True, text=True, timeout=60)


class Report(EndToEnd):
    def setUp(self):
        super().setUp()
        self.vessel = self.folder / "boat.toml"
        self.vessel.write_text(VESSEL.format(name='"Sanderling"'), encoding="utf-8")
        self.trace = self.folder / "days.csv"
        start = datetime(2026, 5, 4, 6, tzinfo=timezone.utc)
        rows = ["time,potential_mv,cell_scale"]
        for minute in range(2 * 24 * 60):
            plugged = 900 < minute < 1500
            potential = -1010 + 90 * plugged + 3 * math.sin(minute / 118.6)
            rows.append(f"{start + timedelta(minutes=minute):%Y-%m-%dT%H:%M:%SZ},{potential:.1f},agcl/open")
        self.trace.write_text("\r\n".join(rows) + "\r\n", encoding="ascii")

    def make(self, command, output, *more):
        path = self.folder / output
        made = quaycell(command, "--trace", self.trace, "--vessel", self.vessel, "--output", path, *more)
        self.assertEqual(made.returncode, 0, made.stderr)
        return path

    def text_of(self, pdf):
        check = run("qpdf", "--check", pdf)
        self.assertEqual(check.returncode, 0, check.stdout + check.stderr)
        return run("pdftotext", "-layout", pdf, "-").stdout

    def test_a_report_tells_the_facts_before_the_opinion_and_names_what_is_missing(self):
        visit = self.folder / "visit.toml"
        visit.write_text('[inspection]\nprepared_by = "Ada Invented"\nnumber = "7"\n')
        text = self.text_of(self.make("report", "days.pdf", "--inspection", visit))
        order = ["Hull potential report", "In short", "Ada Invented", "Method and instruments",
                 "Criteria\n", "Uncertainty and decision rule", "Results\n", "Events\n", "Opinion and advice",
                 "Evidence number", "Signature\n"]
        places = [text.find(each) for each in order]
        self.assertNotIn(-1, places, list(zip(order, places)))
        self.assertEqual(places, sorted(places))
        self.assertRegex(text, r"Weather +not stated")
        self.assertRegex(text, r"Page 1 of \d")
        self.assertIn("under-protected", text)

    def test_fonts_are_embedded_and_the_same_input_gives_the_same_bytes(self):
        first = self.make("report", "one.pdf")
        fonts = run("pdffonts", first).stdout.splitlines()[2:]
        self.assertTrue(fonts)
        for font in fonts:
            self.assertEqual(font.split()[-5], "yes", font)
        self.assertEqual(first.read_bytes(), self.make("report", "two.pdf").read_bytes())

    def test_paper_and_figure_have_the_size_that_was_asked_for(self):
        letter = run("pdfinfo", self.make("report", "us.pdf", "--paper", "letter")).stdout
        self.assertRegex(letter, r"Page size: +61[12](\.\d+)? x 79[12](\.\d+)? pts \(letter\)")
        figure = run("pdfinfo", self.make("trace", "figure.pdf", "--width-mm", "160")).stdout
        self.assertRegex(figure, r"Page size: +453\.54\d? x ")  # 160 mm

    def test_a_figure_carries_what_it_is_of_and_the_number_of_its_readings_as_the_report_does(self):
        digest = hashlib.sha256(self.trace.read_bytes()).hexdigest()
        figure = " ".join(run("pdftotext", self.make("trace", "days-figure.pdf"), "-").stdout.split())
        report = " ".join(self.text_of(self.make("report", "days.pdf")).split())
        for says in ("Sanderling (", "2026-05-04 06:00:00 UTC to 2026-05-06 05:59:00 UTC",
                     "agcl/seawater from a cell on agcl/open", "water of", "instrument not stated", f"SHA-256 {digest[:12]}…"):
            self.assertIn(says, figure)
        self.assertIn(f"SHA-256 {digest[:12]}…", report)
        self.assertIn(digest, report)
        description = self.make("trace", "days.svg").read_text(encoding="utf-8").split("</desc>")[0]
        self.assertIn(f"SHA-256 {digest[:12]}…", description)

    def test_hostile_names_break_neither_page_nor_figure(self):
        name = '"""' + HOSTILE.replace("\\", "\\\\").replace('"', '\\"') + '"""'
        self.vessel.write_text(VESSEL.format(name=name), encoding="utf-8")
        text = self.text_of(self.make("report", "hostile.pdf"))
        self.assertIn("Wren", text)
        self.assertNotIn("\u202e", text)
        html = self.make("report", "hostile.html").read_text(encoding="utf-8")
        self.assertNotIn("<b>", html)
        self.assertIn("W" * 300, html)
        self.text_of(self.make("trace", "hostile-figure.pdf"))

    def test_html_says_the_same_without_fetching_anything(self):
        html = self.make("report", "days.html").read_text(encoding="utf-8")
        for heading in ("In short", "Criteria", "Results", "Opinion and advice", "Signature"):
            self.assertIn(f"<h2>{heading}</h2>", html)
        for forbidden in ("<script", "src=", "href="):
            self.assertNotIn(forbidden, html)

    def with_readings(self, count):
        rows = self.trace.read_text(encoding="ascii").splitlines()
        self.trace.write_text("\r\n".join(rows[:1 + count]) + "\r\n", encoding="ascii")
        return self.text_of(self.make("report", f"few-{count}.pdf"))

    def test_one_reading_is_a_report_of_readings_not_of_time(self):
        text = self.with_readings(1)
        self.assertIn("100 % of the readings", text)
        self.assertRegex(text, r"Period +2026-05-04 06:00:00 UTC\n")
        self.assertRegex(text, r"Readings +1\n")
        self.assertRegex(text, r"Against the cell +−1010 mV")
        for nonsense in ("0 s covered", "Least negative", "90 % of the time", "The numbers are those of the tables"):
            self.assertNotIn(nonsense, text)
        self.assertNotIn("% of the time covered", text.split("Uncertainty and decision rule")[0])

    def test_of_no_reading_there_is_no_report(self):
        self.trace.write_text("time,potential_mv,cell_scale\r\n", encoding="ascii")
        self.refused(2, "report", "--trace", self.trace, "--vessel", self.vessel, "--output", self.folder / "x.pdf",
                     says=["there is no reading to report on", "days.csv", "--survey"])
        self.assertFalse((self.folder / "x.pdf").exists())

    def test_of_readings_without_a_potential_nothing_is_claimed(self):
        self.trace.write_text("time,potential_mv,cell_scale\r\n2026-05-04T06:00:00Z,,agcl/open\r\n", encoding="ascii")
        text = self.text_of(self.make("report", "blank.pdf"))
        self.assertIn("no-verdict", text)
        self.assertIn("No reading was judged by a criterion.", text)
        for nonsense in ("nan", "outside its band", "90 % of the time"):
            self.assertNotIn(nonsense, text)

    def test_what_is_inferred_or_lacking_is_said_to_be(self):
        lines = self.trace.read_text(encoding="ascii").splitlines()
        lines[1:1] = [line.replace("2026-05", "2025-05") for line in lines[1:600]]
        self.trace.write_text("\r\n".join(lines) + "\r\n", encoding="ascii")
        self.vessel.write_text(VESSEL.format(name='"Sanderling"').replace("hull =", "launched = 2026-04-01\nhull =") +
                               '[[anode]]\nplace = "shaft"\nalloy = "zinc"\nfitted = 2026-04-03\n', encoding="utf-8")
        text = " ".join(self.text_of(self.make("report", "year.pdf")).split())
        # From 2025-05-04 15:58 to 2026-05-04 06:00.
        self.assertIn("Time without readings one gap of 364 d", text)
        self.assertRegex(text, "Median plugged in −[0-9]+ mV, inferred from the level: no AC was measured")
        self.assertRegex(text, "launched 2026-04-01; new anode: shaft 2026-04-03")
        self.assertRegex(text, "From Width Shape Divisor")
        self.assertRegex(text, "rectangular 1.73")
        self.assertIn("that of the last reading, for nobody stated the date of the report", text)

    def test_the_pdf_says_that_it_was_made_on_the_day_of_the_report(self):
        visit = self.folder / "visit.toml"
        visit.write_text("[inspection]\ndate = 2026-05-12\n")
        path = self.make("report", "dated.pdf", "--inspection", visit)
        self.assertRegex(run("pdfinfo", "-isodates", path).stdout, "CreationDate: +2026-05-12T00:00:00Z")
        self.assertIn("the beginning of the day of the report", " ".join(self.text_of(path).split()))
        self.done("verify", path)

    def test_the_evidence_comes_out_as_it_went_in(self):
        pdf = self.make("report", "days.pdf")
        verified = quaycell("verify", pdf, "--json")
        self.assertEqual(verified.returncode, 0, verified.stdout + verified.stderr)
        number = json.loads(verified.stdout)["evidence_number"]
        self.assertIn(number, self.text_of(pdf))
        folder = self.folder / "attached"
        folder.mkdir()
        self.assertEqual(run("pdfdetach", "-saveall", "-o", folder, pdf).returncode, 0)
        self.assertEqual((folder / "source.csv").read_bytes(), self.trace.read_bytes())
        listed = subprocess.run(["sha256sum", "--check", "SHA256SUMS"], cwd=folder, capture_output=True)
        self.assertEqual(listed.returncode, 0, listed.stdout)
        html = self.make("report", "days.html").read_text(encoding="utf-8")
        self.assertIn(number, html)

    def test_a_report_with_another_attachment_is_found_out(self):
        pdf = self.make("report", "days.pdf")
        other = self.folder / "trace.csv"
        other.write_text("time,potential_mv\r\n")
        changed = self.folder / "changed.pdf"
        spoilt = run("qpdf", pdf, "--remove-attachment=trace.csv", "--add-attachment", other, "--", changed)
        self.assertEqual(spoilt.returncode, 0, spoilt.stderr)
        verified = quaycell("verify", changed)
        self.assertEqual(verified.returncode, 1)
        self.assertRegex(verified.stdout, r"DIFFERS +trace\.csv")
        self.assertRegex(verified.stdout, r"agrees +source\.csv")

    def test_a_file_without_evidence_is_told_apart_from_one_that_differs(self):
        self.assertEqual(quaycell("verify", self.trace).returncode, 2)
        figure = self.make("trace", "figure.pdf")
        verified = quaycell("verify", figure)
        self.assertEqual(verified.returncode, 2)
        self.assertIn("carries no evidence", verified.stderr)

    def test_times_are_shown_by_the_clocks_of_a_zone_through_their_change(self):
        text = self.trace.read_text(encoding="ascii")  # 48 hours from 06:00 on
        self.trace.write_text(text.replace("2026-05-04", "2026-10-24").replace("2026-05-05", "2026-10-25")
                              .replace("2026-05-06", "2026-10-26"), encoding="ascii")
        zone = ("--zone", "Europe/Amsterdam")
        title = "Time in Europe/Amsterdam: CEST, UTC+2; from 2026-10-25 02:00 CET, UTC+1"
        figure = self.make("trace", "dst.svg", *zone).read_text(encoding="utf-8")
        self.assertIn(title, figure)
        self.assertIn("2026-10-24 08:00:00 CEST to 2026-10-26 06:59:00 CET", figure)
        report = self.make("report", "dst.pdf", *zone)
        self.assertEqual(quaycell("verify", report).returncode, 0)
        page = self.text_of(report)
        self.assertIn("2026-10-24 08:00:00 CEST to 2026-10-26 06:59:00 CET", page)
        self.assertRegex(page, r"1 +2026-10-24 23:01:00 CEST +shore-power-on")
        self.assertNotIn("00 UTC", page)
        refused = quaycell("trace", "--trace", self.trace, "--vessel", self.vessel, "--zone", "Europe/Nowhere",
                           "--output", self.folder / "no.svg")
        self.assertEqual(refused.returncode, 2)
        self.assertIn("zoneinfo", refused.stderr)

    def test_no_time_by_other_clocks_stands_in_a_report_but_in_what_people_wrote(self):
        self.vessel.write_text(VESSEL.format(name='"Sanderling"\nlaunched = 2026-05-04'), encoding="utf-8")
        archive = self.folder / "a.quaycell"
        self.done("import", self.trace, "--archive", archive)
        self.done("correct", "--archive", archive, "--deployment", "1", "--salinity", "24.5",
                  "--to", "2026-05-05T06:00:00Z", "--why", "told at 2026-05-06T07:00:00Z by radio")
        source = ("--archive", archive, "--vessel", self.vessel, "--zone", "America/New_York")
        page = self.folder / "zone.html"
        self.done("report", *source, "--output", page)
        text = page.read_text(encoding="utf-8")
        in_utc = re.findall(r"\d{4}-\d\d-\d\dT\d\d:\d\d:[0-9.]+Z", text)
        self.assertEqual(set(in_utc), {"2026-05-06T07:00:00Z"})
        self.assertRegex(text, r"what is read until 2026-05-0\d \d\d:\d\d:00 EDT may still settle")
        self.assertIn("until 2026-05-05 02:00:00 EDT: the salinity was 24.5 PSU", text)
        judged = self.done("judge", *source)
        self.assertNotRegex(judged, r"T\d\d:\d\d:\d\dZ")
        self.assertRegex(judged, r"period: 2026-05-04 02:00:00 EDT to ")
        self.assertIn('"time": "2026-05-04T', self.done("judge", *source, "--json"))

    def test_a_part_of_the_time_is_judged_and_shown_as_if_it_were_all(self):
        part = ("--from", "2026-05-04T21:30:00Z", "--to", "2026-05-05T08:30:00+02:00")
        figure = self.make("trace", "part.svg", *part).read_text(encoding="utf-8")
        self.assertIn("2026-05-04 21:30:00 UTC to 2026-05-05 06:30:00 UTC", figure)
        self.assertIn("readings days.csv, only from 2026-05-04 21:30:00 UTC to 2026-05-05 06:30:00 UTC, SHA-256", figure)
        judged = json.loads(quaycell("judge", "--trace", self.trace, "--vessel", self.vessel, "--json", *part).stdout)
        self.assertEqual(judged["readings"], 9 * 60 + 1)
        self.assertEqual(judged["time_share"]["under-protected"], 1)
        pdf = self.make("report", "part.pdf", *part)
        self.assertIn("541, 9 h 1 min covered", self.text_of(pdf))
        self.assertEqual(quaycell("verify", pdf).returncode, 0)
        refused = quaycell("trace", "--trace", self.trace, "--vessel", self.vessel, "--from", "2027-01-01T00:00:00Z",
                           "--output", self.folder / "no.svg")
        self.assertEqual(refused.returncode, 2)
        self.assertIn("its readings go from", refused.stderr)

    def test_the_axis_turns_for_those_who_draw_more_negative_upward(self):
        figure = self.make("trace", "up.svg", "--up", "more-negative").read_text(encoding="utf-8")
        self.assertIn("more negative upward", figure)
        self.assertNotIn("more negative upward", self.make("trace", "usual.svg").read_text(encoding="utf-8"))

    def test_an_unknown_ending_is_refused(self):
        made = quaycell("report", "--trace", self.trace, "--hull", "steel", "--output", "x.doc")
        self.assertEqual(made.returncode, 2)
        self.assertIn(".pdf or .html", made.stderr)


if __name__ == "__main__":
    unittest.main()

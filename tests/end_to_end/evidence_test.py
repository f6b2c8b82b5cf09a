#!/usr/bin/env python3
"""What a report carries: that it is enough to make the report again, and that nothing of it can be
changed unnoticed. QUAYCELL_CHANGES says how many bytes to change; else a sample."""
import hashlib
import json
import os
import random
import re
import sqlite3
import subprocess
import unittest
from contextlib import closing

from programs import BUILD, EndToEnd, quaycell

# Programs under sanitizers are many times slower.
CHANGES = int(os.environ.get("QUAYCELL_CHANGES", 6 if os.environ.get("QUAYCELL_SANITIZE") else 30))
HEAD = "time,potential_mv,cell_scale\r\n"
VESSEL = """[vessel]
name = "Sanderling"
hull = "aluminium"
[water]
salinity_psu = [22, 33]
[cell]
serial = "C-17"
"""


def rows(count, potential=-1000):
    return "".join(f"2026-05-04T{i // 60 % 24:02}:{i % 60:02}:00Z,{potential - i % 7},agcl/open\r\n" for i in range(count))


class Evidence(EndToEnd):
    def setUp(self):
        super().setUp()
        self.csv = self.folder / "my readings.csv"
        self.csv.write_text(HEAD + rows(300), encoding="ascii", newline="")
        self.vessel = self.folder / "boat.toml"
        self.vessel.write_text(VESSEL, encoding="utf-8")

    def report(self, name, *source):
        path = self.folder / name
        made = quaycell("report", *(source or ("--trace", self.csv)), "--vessel", self.vessel, "--output", path)
        self.assertEqual(made.returncode, 0, made.stderr)
        return path

    def verify(self, report, *more):
        """Exit code, and what was found by name."""
        result = quaycell("verify", report, "--json", *more)
        if not result.stdout:
            return result.returncode, {"": result.stderr}
        return result.returncode, {each["name"]: each for each in json.loads(result.stdout)["findings"]}

    def agrees(self, report, *more):
        code, found = self.verify(report, *more)
        self.assertEqual(code, 0, found)
        for each in found.values():
            self.assertTrue(each["agrees"], each)
        self.assertIn("judgement.json, computed again", found)
        return found

    def differs(self, report, name, words, *more):
        code, found = self.verify(report, *more)
        self.assertEqual(code, 1, found)
        self.assertFalse(found[name]["agrees"], found)
        self.assertRegex(found[name]["what"], words)
        return found


class MadeAgain(Evidence):
    def test_a_report_of_a_csv_follows_from_what_it_carries_wherever_it_is_taken(self):
        elsewhere = self.folder / "elsewhere"
        elsewhere.mkdir()
        for name in ("visit.pdf", "visit.html"):
            made = self.report(name)
            made.rename(elsewhere / name)
        (self.folder / "visit.html-evidence").rename(elsewhere / "visit.html-evidence")
        self.csv.unlink()
        self.vessel.unlink()
        self.agrees(elsewhere / "visit.pdf")
        self.agrees(elsewhere / "visit.html")

    def test_what_the_command_line_said_goes_along(self):
        own = self.folder / "own.toml"
        own.write_text(self.done("judge", "--default-budget"), encoding="utf-8")
        visit = self.folder / "visit.toml"
        visit.write_text('[inspection]\nprepared_by = "Ada Invented"\ndate = 2026-05-12\n')
        path = self.folder / "said.pdf"
        self.done("report", "--trace", self.csv, "--hull", "steel", "--salinity", "31", "--temperature", "9.5",
                  "--baseline", "-540", "--cell-checked", "--scale=agcl/kcl-3", "--worst-share", "7",
                  "--budget", own, "--inspection", visit, "--paper", "letter", "--zone", "Europe/Berlin",
                  "--from", "2026-05-04T01:00:00Z", "--up", "more-negative", "--output", path)
        self.agrees(path)

    def archive(self):
        archive = self.folder / "a.quaycell"
        self.done("import", self.csv, "--archive", archive)
        bench = self.start_bench("quiet-berth.toml")
        self.done("deploy", "--port", bench.port, "--interval", "60s", "--clock", "2026-05-05T06:00:00Z")
        bench.tell("advance 6h")
        self.done("collect", "--port", bench.port, "--archive", archive)
        self.done("check-cell", "--between-cells", "2.1", "--cell", "C-17", "--time", "2026-05-05T05:00:00Z",
                  "--archive", archive)
        self.done("correct", "--archive", archive, "--deployment", "2", "--salinity", "24.5",
                  "--why", 'it said "brackish" on the chart')
        return archive

    def test_a_report_of_an_archive_does_too_with_calibration_corrections_and_cell_checks(self):
        archive = self.archive()
        found = self.agrees(self.report("two.pdf", "--archive", archive, "--deployment", "2"), "--archive", archive)
        self.assertIn("records-2.bin, archive", found)
        self.agrees(self.report("raw.html", "--archive", archive, "--deployment", "2", "--uncorrected"))
        self.agrees(self.report("one.pdf", "--archive", archive, "--deployment", "1"))
        self.done("correct", "--archive", archive, "--deployment", "2", "--cell-scale", "agcl/open", "--why", "read off")
        self.agrees(self.report("all.pdf", "--archive", archive, "--deployment", "all"))

    def test_what_people_noted_is_in_the_report_and_under_its_digests(self):
        archive = self.folder / "a.quaycell"
        self.done("import", self.csv, "--archive", archive)
        for time, words in (("2026-05-04T06:30:00Z", "=1+1 <b>shore</b> lead out"), ("2026-09-01T00:00:00Z", "hauled")):
            self.done("note", "--archive", archive, "--time", time, "--author", "Ada Invented", words)
        page = self.report("noted.html", "--archive", archive, "--zone", "Europe/Berlin")
        text = page.read_text(encoding="utf-8")
        self.assertIn("2026-05-04 08:30:00 CEST", text)
        self.assertIn("=1+1 &lt;b&gt;shore&lt;/b&gt; lead out", text)
        self.assertRegex(text, "Ada Invented, 20[0-9-]+ [0-9:]+ CES?T")
        self.assertNotIn("hauled", text)
        self.assertIn("1 note about other times goes with this report", text)
        origin = json.loads((self.folder / "noted.html-evidence" / "origin.json").read_text(encoding="utf-8"))
        self.assertEqual([note["text"] for note in origin["notes"]], ["=1+1 <b>shore</b> lead out", "hauled"])
        self.agrees(page)

    def test_a_meter_that_was_read_counts_in_place_of_a_logger(self):
        visit = self.folder / "visit.toml"
        visit.write_text('[inspection]\n[instrument]\nname = "DMM 7, invented"\naccuracy_mv = 6\n'
                         'input_mohm = 10\nsource_kohm = 100\n', encoding="utf-8")
        page = self.report("meter.html", "--trace", self.csv, "--inspection", visit)
        text = page.read_text(encoding="utf-8")
        self.assertIn("DMM 7, invented, within 6 mV, input resistance 10 Mohm, as stated", text)
        self.assertIn("current into the meter", text)
        self.assertNotIn("electronics", text)
        self.agrees(page)

    def test_records_that_another_archive_does_not_hold_are_named(self):
        archive = self.archive()
        path = self.report("two.pdf", "--archive", archive, "--deployment", "2")
        other = self.folder / "other.quaycell"
        self.done("import", self.csv, "--archive", other)
        code, found = self.verify(path, "--archive", other)
        self.assertEqual(code, 1)
        self.assertRegex(found["records-2.bin, archive"]["what"], "record [0-9]+ of restart [0-9]+ is not")

    def test_whatever_a_report_took_from_an_archive_is_compared_with_it(self):
        archive = self.archive()
        self.done("note", "--archive", archive, "--time", "2026-05-05T07:00:00Z", "lead moved")
        logged = self.report("two.pdf", "--archive", archive, "--deployment", "2")
        imported = self.report("one.pdf", "--archive", archive, "--deployment", "1")
        for path in (logged, imported):
            self.agrees(path, "--archive", archive)
        found = self.agrees(imported, "--archive", archive)
        self.assertIn("byte for byte", found["imported-1.csv, archive"]["what"])
        sound = archive.read_bytes()
        # Each row carries a checksum, which whoever forges one would put right.
        for path, name, change, words in (
                (logged, "notes", "DELETE FROM note", "lead moved"),
                (logged, "comparisons of the cell", "DELETE FROM cell_check", "C-17"),
                (logged, "corrections of records-2.bin", "DELETE FROM correction", "correction 1 does not stand"),
                (logged, "logger of records-2.bin", "DELETE FROM calibration", "calibration"),
                (imported, "imported-1.csv", "DELETE FROM imported_trace", "no such imported trace")):
            with closing(sqlite3.connect(archive)) as opened, opened:
                opened.execute(change)
            code, found = self.verify(path, "--archive", archive)
            self.assertEqual(code, 1, name)
            self.assertFalse(found[name + ", archive"]["agrees"], found)
            self.assertIn(words, found[name + ", archive"]["what"])
            archive.write_bytes(sound)

    def test_what_came_into_an_archive_after_a_report_is_counted_and_corrections_differ(self):
        archive = self.archive()
        path = self.report("two.pdf", "--archive", archive, "--deployment", "2")
        self.done("note", "--archive", archive, "--time", "2026-05-09T07:00:00Z", "hauled")
        found = self.agrees(path, "--archive", archive)
        self.assertIn("and 1 that the report does not", found["notes, archive"]["what"])
        self.done("correct", "--archive", archive, "--deployment", "2", "--cell-scale", "agcl/open", "--why", "read off")
        code, found = self.verify(path, "--archive", archive)
        self.assertEqual(code, 1)
        self.assertIn("correction 2 stands in the archive, and not here",
                      found["corrections of records-2.bin, archive"]["what"])

    def test_readings_of_a_file_are_not_said_to_be_those_of_an_archive(self):
        archive = self.folder / "tern.quaycell"
        self.done("import", self.csv, "--archive", archive)
        code, found = self.verify(self.report("visit.pdf"), "--archive", archive)
        self.assertEqual(code, 1)
        self.assertIsNone(found["records"]["agrees"])

    def test_a_report_is_known_by_what_it_is_not_by_its_name(self):
        path = self.report("visit.pdf")
        for name in ("visit.PDF", "attachment", "visit.html"):
            self.agrees(path.rename(self.folder / name))
            path = self.folder / name

    def test_a_file_from_standard_input_is_read_once_and_only_one_can_be(self):
        path = self.folder / "piped.pdf"
        made = quaycell("report", "--trace", self.csv, "--vessel", "-", "--output", path, typed=VESSEL)
        self.assertEqual(made.returncode, 0, made.stderr)
        self.assertEqual(path.read_bytes(), self.report("named.pdf").read_bytes())
        self.agrees(path)
        both = quaycell("report", "--trace", "-", "--vessel", "-", "--output", path, typed=VESSEL)
        self.assertEqual(both.returncode, 2)
        self.assertIn("standard input can be only one of the files", both.stderr)

    def test_what_is_wrong_in_a_file_is_told_by_the_name_that_it_has(self):
        visit = self.folder / "our visit.toml"
        visit.write_text("[inspection]\nwho = 1\n", encoding="utf-8")
        self.refused(2, "report", "--trace", self.csv, "--hull", "steel", "--inspection", visit, "--output",
                     self.folder / "x.pdf", says=[f"{visit}:2"])
        self.csv.write_text(HEAD + "x", encoding="ascii")
        self.refused(2, "report", "--trace", self.csv, "--hull", "steel", "--output", self.folder / "x.pdf",
                     says=["my readings.csv"])

    def test_a_report_destroys_nothing_that_stands_beside_it(self):
        mine = self.folder / "visit.html-evidence" / "letter.txt"
        mine.parent.mkdir()
        mine.write_text("mine", encoding="ascii")
        page = self.folder / "visit.html"
        self.refused(1, "report", "--trace", self.csv, "--hull", "steel", "--output", page, says=[str(mine)])
        self.assertFalse(page.exists())
        mine.unlink()
        self.report("visit.html")
        used = mine.parent / "vessel.toml"
        self.refused(1, "report", "--trace", self.csv, "--vessel", used, "--output", page,
                     says=["read by the same command"])
        self.agrees(page)

    def test_a_report_is_not_written_over_but_by_the_same_or_when_asked(self):
        for name in ("visit.pdf", "visit.html"):
            page = self.report(name)
            before = page.read_bytes()
            self.report(name)  # the same again
            other = ("report", "--trace", self.csv, "--hull", "steel", "--output", page)
            self.refused(1, *other, says=[str(page), "something else", "--replace"])
            self.assertEqual(page.read_bytes(), before)
            self.done(*other, "--replace")
            self.assertNotEqual(page.read_bytes(), before)
            self.agrees(page)
        page.unlink()  # its evidence alone is there
        self.refused(1, "report", "--trace", self.csv, "--hull", "grp", "--output", page,
                     says=["visit.html-evidence", "holds something else"])

    def test_a_launch_or_an_anode_of_tomorrow_is_a_slip_of_the_pen(self):
        anode = '[[anode]]\nplace = "shaft"\nalloy = "zinc"\nfitted = 2999-01-02\n'
        for text, words in ((VESSEL.replace("hull =", "launched = 2999-01-01\nhull ="), "the launch, 2999-01-01"),
                            (VESSEL + anode, "anode \"shaft\", 2999-01-02")):
            self.vessel.write_text(text, encoding="utf-8")
            self.refused(2, "report", "--trace", self.csv, "--vessel", self.vessel, "--output", self.folder / "x.pdf",
                         says=[words, "future", str(self.vessel)])
            self.refused(2, "vessel", "check", self.vessel, says=[words])

    def test_an_empty_value_says_nothing(self):
        path = self.folder / "script.pdf"
        self.done("report", "--trace", self.csv, "--vessel", self.vessel, "--from", "", "--output", path)
        self.agrees(path)

    def test_verifying_writes_nothing_anywhere(self):
        path = self.report("visit.pdf")
        result = quaycell("verify", path, env={**os.environ, "TMPDIR": str(self.folder / "nowhere")})
        self.assertEqual(result.returncode, 0, result.stdout + result.stderr)

    def test_readings_ahead_of_the_clock_say_when_that_was_found(self):
        self.csv.write_text(HEAD + "2999-01-01T00:00:00Z,-1000,agcl/open\r\n", encoding="ascii", newline="")
        page = self.report("late.html")
        options = json.loads((self.folder / "late.html-evidence" / "options.json").read_text(encoding="utf-8"))
        self.assertIsInstance(options["clock_ms"], int)
        self.assertIn("lay in the future when this was judged", page.read_text(encoding="utf-8"))
        self.agrees(page)


class Forged(Evidence):
    """The list and the number are made to fit, as somebody would who knows how this works."""

    def setUp(self):
        super().setUp()
        self.page = self.report("visit.html")
        self.evidence = self.folder / "visit.html-evidence"

    def fit(self):
        listing = self.evidence / "SHA256SUMS"
        lines = [line.split("  ", 1)[1] for line in listing.read_text(encoding="ascii").splitlines()]
        listing.write_text("".join(f"{hashlib.sha256((self.evidence / name).read_bytes()).hexdigest()}  {name}\n"
                                   for name in lines), encoding="ascii")
        number = hashlib.sha256(listing.read_bytes()).hexdigest()
        self.page.write_text(re.sub(r'(evidence-number" content=")[0-9a-f]{64}', rf"\g<1>{number}",
                                    self.page.read_text(encoding="utf-8")), encoding="utf-8")

    def change(self, name, old, new):
        file = self.evidence / name
        text = file.read_text(encoding="utf-8")
        self.assertIn(old, text)
        file.write_text(text.replace(old, new, 1), encoding="utf-8", newline="")
        self.fit()

    def test_another_verdict_is_found_with_both_named(self):
        self.change("judgement.json", '"verdict": "protected"', '"verdict": "undecided"')
        found = self.differs(self.page, "judgement.json, computed again",
                             r'line \d+: the report states "verdict": "undecided", its attachments give '
                             r'"verdict": "protected"')
        self.assertTrue(found["judgement.json"]["agrees"])
        self.assertTrue(found["trace.csv, computed again"]["agrees"])

    def test_a_word_far_into_a_long_line_is_shown(self):
        self.change("judgement.json", "more than 5 % counts", "more than 5 % matters")
        self.differs(self.page, "judgement.json, computed again",
                     r"states \.\.\..* 5 % matters\", its attachments give \.\.\..* 5 % counts\"$")

    def test_another_reading_is_found_with_its_line(self):
        self.change("source.csv", "-1003", "-1004")
        self.differs(self.page, "trace.csv, computed again", "line 5: .*-1003.*-1004")

    def test_another_boat_and_other_options_are_found(self):
        self.change("vessel.toml", "aluminium", "steel")
        self.differs(self.page, "judgement.json, computed again", "line ")
        self.change("options.json", '"options": []', '"options": ["--hull=wood"]')
        self.differs(self.page, "judgement.json, computed again", "line ")

    def test_another_word_on_the_page_is_found(self):
        self.page.write_text(self.page.read_text(encoding="utf-8").replace("Sanderling", "Dunlin"), encoding="utf-8")
        self.differs(self.page, "the report's file", "is not what this program makes")

    def test_a_report_that_asks_for_files_of_the_reader_gets_none(self):
        self.change("options.json", '"options": []', f'"options": ["--criteria={self.vessel}"]')
        self.differs(self.page, "computing again", "not made with options of this program")

    def test_files_that_mean_nothing_are_named_and_end_nothing(self):
        for name, text in (("origin.json", "{}"), ("options.json", "[]"), ("vessel.toml", "hull"),
                           ("source.csv", "\0"), ("origin.json", "[" * 100_000)):
            kept = (self.evidence / name).read_bytes()
            (self.evidence / name).write_text(text, encoding="utf-8")
            self.fit()
            self.differs(self.page, "computing again", "is not possible")
            (self.evidence / name).write_bytes(kept)

    def test_a_page_that_cannot_be_compared_here_does_not_pass(self):
        drawn_with = json.loads((self.evidence / "options.json").read_text(encoding="utf-8"))["drawn_with"]
        self.page.write_text(self.page.read_text(encoding="utf-8").replace("Sanderling", "Dunlin"), encoding="utf-8")
        self.change("options.json", drawn_with, "0" * len(drawn_with))
        result = quaycell("verify", self.page, "--json")
        self.assertEqual(result.returncode, 1)
        self.assertIn("not everything could be compared here", result.stderr)
        document = json.loads(result.stdout)
        self.assertIsNone(document["agrees"])
        self.assertEqual([each["name"] for each in document["findings"] if each["agrees"] is None],
                         ["the report's file"])

    def test_a_pdf_that_also_looks_like_a_page_is_read_as_a_pdf(self):
        pdf = self.report("visit.pdf")  # beside the folder of another report
        with pdf.open("ab") as file:
            file.write(b'%<meta name="evidence-number" content="' + b"0" * 64 + b'">')
        self.differs(pdf, "the report's file", "is not what this program makes")

    def test_names_in_a_report_do_not_move_the_cursor(self):
        with (self.evidence / "SHA256SUMS").open("a", encoding="utf-8") as listing:
            listing.write("0" * 64 + "  zz\x9b2Jforged\n")
        said = quaycell("verify", self.page).stdout
        self.assertIn("2Jforged", said)
        self.assertNotIn("\x9b", said)

    def test_a_page_without_its_folder_is_told_where_it_should_be(self):
        self.evidence.rename(self.folder / "lost")
        refused = quaycell("verify", self.page)
        self.assertEqual(refused.returncode, 2)
        self.assertIn("visit.html-evidence/SHA256SUMS", refused.stderr)


class EveryByte(Evidence):
    def test_every_changed_byte_of_the_pdf_is_found(self):
        self.csv.write_text(HEAD + rows(20), encoding="ascii", newline="")
        path = self.report("visit.pdf")
        self.agrees(path)
        sound = path.read_bytes()
        chance = random.Random(7)
        for _ in range(CHANGES):
            at = chance.randrange(len(sound))
            byte = sound[at] ^ (1 << chance.randrange(8))
            path.write_bytes(sound[:at] + bytes([byte]) + sound[at + 1:])
            code, found = self.verify(path)
            self.assertIn(code, (1, 2), f"byte {at} of {len(sound)} changed from {sound[at]} to {byte}: {found}")

    def test_every_changed_byte_of_a_companion_is_found_and_named(self):
        self.csv.write_text(HEAD + rows(20), encoding="ascii", newline="")
        page = self.report("visit.html")
        self.agrees(page)
        files = sorted(file for file in (self.folder / "visit.html-evidence").iterdir() if file.name != "SHA256SUMS")
        chance = random.Random(8)
        for _ in range(CHANGES // 2):
            file = chance.choice(files)
            sound = file.read_bytes()
            at = chance.randrange(len(sound))
            file.write_bytes(sound[:at] + bytes([sound[at] ^ (1 << chance.randrange(8))]) + sound[at + 1:])
            code, found = self.verify(page)
            self.assertEqual(code, 1, f"byte {at} of {file.name}: {found}")
            self.assertFalse(found[file.name]["agrees"])
            file.write_bytes(sound)


class Signed(Evidence):
    def setUp(self):
        super().setUp()
        self.key = self.folder / "ann.key"
        made = quaycell("report", "--new-key", self.key)
        self.assertEqual(made.returncode, 0, made.stderr)
        self.fingerprint = re.search("fingerprint ([0-9a-f]{64})", made.stderr)[1]
        self.public = self.folder / "ann.key.pub"

    def signed(self, name):
        return self.report(name, "--trace", self.csv, "--sign", self.key)

    def test_the_secret_key_is_for_its_owner_alone_and_is_never_written_over(self):
        self.assertEqual(self.key.stat().st_mode & 0o777, 0o600)
        kept = self.key.read_bytes()
        self.refused(1, "report", "--new-key", self.key, says=["must not be lost", "another name"])
        self.assertEqual(self.key.read_bytes(), kept)
        self.key.chmod(0o640)
        self.refused(1, "report", "--trace", self.csv, "--hull", "steel", "--sign", self.key, "--output",
                     self.folder / "x.pdf", says=["others on this computer may read", "chmod 600"])
        self.refused(2, "report", "--trace", self.csv, "--hull", "steel", "--sign", self.public, "--output",
                     self.folder / "x.pdf", says=["the public key of a pair; the secret one signs", "without .pub"])
        self.vessel.chmod(0o600)
        self.refused(2, "report", "--trace", self.csv, "--hull", "steel", "--sign", self.vessel, "--output",
                     self.folder / "x.pdf", says=["no secret key"])

    def test_a_signed_report_agrees_with_the_key_of_who_signed_and_no_other(self):
        other = self.folder / "ben.key"
        self.done("report", "--new-key", other)
        for name in ("signed.pdf", "signed.html"):
            path = self.signed(name)
            found = self.agrees(path, "--key", self.public)
            self.assertIn("the key that you gave", found["SHA256SUMS.sig"]["what"])
            self.assertIn(self.fingerprint, self.agrees(path)["SHA256SUMS.sig"]["what"])
            code, found = self.verify(path, "--key", self.folder / "ben.key.pub")
            self.assertEqual(code, 1)
            self.assertIn("another key, fingerprint " + self.fingerprint, found["SHA256SUMS.sig"]["what"])
            self.assertNotIn(self.key.read_text().splitlines()[1].encode(), path.read_bytes())
        self.assertIn(self.fingerprint, self.signed("signed.html").read_text(encoding="utf-8"))
        self.assertEqual(self.signed("one.pdf").read_bytes(), self.signed("two.pdf").read_bytes())

    def test_a_key_from_standard_input_signs_the_same(self):
        path = self.folder / "piped.pdf"
        made = quaycell("report", "--trace", self.csv, "--vessel", self.vessel, "--sign", "-", "--output", path,
                        typed=self.key.read_text(encoding="ascii"))
        self.assertEqual(made.returncode, 0, made.stderr)
        self.assertEqual(path.read_bytes(), self.signed("named.pdf").read_bytes())

    def test_verify_asks_for_a_key_only_where_none_was_given(self):
        path = self.signed("signed.pdf")
        self.assertIn("--key", quaycell("verify", path).stderr)
        self.assertNotIn("--key", quaycell("verify", path, "--key", self.public).stderr)
        swapped = quaycell("verify", path, "--key", self.key)
        self.assertEqual(swapped.returncode, 2)
        self.assertIn("secret key of a pair", swapped.stderr)

    def test_a_report_made_anew_does_not_bear_the_signature_of_the_one_before(self):
        signed = self.signed("visit.html")
        again = ("report", "--trace", self.csv, "--vessel", self.vessel, "--output", signed)
        self.refused(1, *again, says=["--replace"])
        self.done(*again, "--replace")
        self.assertFalse((self.folder / "visit.html-evidence" / "SHA256SUMS.sig").exists())
        self.agrees(signed)

    def test_another_program_verifies_the_signature_and_the_fingerprint(self):
        self.signed("signed.html")
        listing = self.folder / "signed.html-evidence" / "SHA256SUMS"
        checked = subprocess.run(["openssl", "pkeyutl", "-verify", "-pubin", "-inkey", self.public, "-rawin", "-in",
                                  listing, "-sigfile", f"{listing}.sig"], capture_output=True, text=True)
        self.assertEqual(checked.returncode, 0, checked.stdout + checked.stderr)
        der = subprocess.run(["openssl", "pkey", "-pubin", "-in", self.public, "-outform", "DER"], capture_output=True)
        self.assertEqual(hashlib.sha256(der.stdout).hexdigest(), self.fingerprint)

    def test_a_key_that_another_program_made_signs_as_well(self):
        key = self.folder / "theirs.key"
        made = subprocess.run(["openssl", "genpkey", "-algorithm", "ed25519", "-out", key], capture_output=True)
        self.assertEqual(made.returncode, 0, made.stderr)
        key.chmod(0o600)
        public = self.folder / "theirs.pub"
        subprocess.run(["openssl", "pkey", "-in", key, "-pubout", "-out", public], check=True)
        self.agrees(self.report("signed.pdf", "--trace", self.csv, "--sign", key), "--key", public)

    def test_an_unsigned_report_does_not_pass_where_a_signature_is_asked_for(self):
        code, found = self.verify(self.report("plain.pdf"), "--key", self.public)
        self.assertEqual(code, 1)
        self.assertIn("nobody signed this report", found["SHA256SUMS.sig"]["what"])
        said = quaycell("verify", self.folder / "plain.pdf", "--key", self.public).stderr
        self.assertIn("consistent, but not signed as it should be", said)
        self.assertNotIn("not what it was made from", said)

    def test_a_signed_list_cannot_be_made_to_fit_another_file(self):
        page = self.signed("signed.html")
        (self.folder / "signed.html-evidence").rename(self.folder / "visit.html-evidence")
        forged = Forged("fit")
        forged.page, forged.evidence = page.rename(self.folder / "visit.html"), self.folder / "visit.html-evidence"
        vessel = forged.evidence / "vessel.toml"
        vessel.write_text(vessel.read_text().replace("aluminium", "steel"))
        forged.fit()
        self.differs(forged.page, "SHA256SUMS.sig", "does not belong to this list")


class Companions(Evidence):
    def wide(self):
        """60 MB in few readings: import ignores the column standard_mv, whatever its length."""
        wide = self.folder / "wide.csv"
        wide.write_text("time,potential_mv,cell_scale,standard_mv\r\n" +
                        "".join(f"2026-05-04T06:{i:02}:00Z,-1000,agcl/open,{'9' * 1_000_000}\r\n" for i in range(60)),
                        encoding="ascii", newline="")
        return wide

    def most_held_kb(self, *arguments):
        program = subprocess.Popen([BUILD / "bin" / "quaycell", *arguments], stdout=subprocess.DEVNULL,
                                   stderr=subprocess.DEVNULL)
        _, status, usage = os.wait4(program.pid, 0)
        program.returncode = os.waitstatus_to_exitcode(status)
        self.assertEqual(program.returncode, 0)
        return usage.ru_maxrss

    def test_pdf_and_html_of_one_name_each_have_a_folder(self):
        wide = self.wide()
        reports = [self.report(name, "--trace", wide) for name in ("wide.html", "wide.pdf")]
        for report in reports:
            self.agrees(report)
            self.assertTrue((self.folder / f"{report.name}-evidence" / "source.csv").exists())
        (self.folder / "wide.pdf-evidence" / "source.csv").unlink()
        self.differs(self.folder / "wide.pdf", "source.csv", "is missing")

    def test_a_folder_from_when_both_shared_one_is_found(self):
        page = self.report("visit.html")
        (self.folder / "visit.html-evidence").rename(self.folder / "visit-evidence")
        self.agrees(page)

    def test_what_a_killed_run_left_is_removed_and_told(self):
        killed = subprocess.Popen(["true"])
        killed.wait()
        page = self.report("visit.html")
        left = [self.folder / f"visit.html.part-{killed.pid}-1",
                self.folder / "visit.html-evidence" / f"trace.csv.part-{killed.pid}"]
        for part in left:
            part.write_text("half")
        again = quaycell("report", "--trace", self.csv, "--vessel", self.vessel, "--output", page)
        self.assertEqual(again.returncode, 0, again.stderr)
        for part in left:
            self.assertIn(f"{part}: left by a run that was broken off; removed", again.stderr)
            self.assertFalse(part.exists())
        self.agrees(page)

    def test_what_is_too_large_for_the_pdf_stands_beside_it_and_is_verified_there(self):
        wide = self.wide()
        path = self.report("wide.pdf", "--trace", wide)
        self.assertLess(path.stat().st_size, 2_000_000)
        beside = self.folder / "wide.pdf-evidence"
        self.assertEqual([file.name for file in beside.iterdir()], ["source.csv"])
        self.assertEqual((beside / "source.csv").read_bytes(), wide.read_bytes())
        self.agrees(path)
        with (beside / "source.csv").open("r+b") as file:
            file.seek(30_000_000)
            file.write(b"8")
        self.differs(path, "source.csv", "was changed")
        (beside / "source.csv").unlink()
        found = self.differs(path, "source.csv", "is missing")
        self.assertRegex(found["computing again"]["what"], "source.csv: the readings are missing")

    @unittest.skipIf(os.environ.get("QUAYCELL_SANITIZE"), "a million and a half readings take minutes there")
    def test_records_too_many_for_the_pdf_or_a_spreadsheet_go_beside_it_without_a_csv(self):
        archive = self.folder / "long.quaycell"
        subprocess.run([BUILD / "tests" / "made_archive", archive, "19"], check=True, stdout=subprocess.DEVNULL)
        path = self.report("long.pdf", "--archive", archive)
        beside = self.folder / "long.pdf-evidence"
        records = beside / "records-1.bin"
        self.assertEqual([file.name for file in beside.iterdir()], ["records-1.bin"])
        self.assertGreater(records.stat().st_size, 50_000_000)
        self.assertEqual([file.name for file in self.folder.glob("*.part-*")], [])
        text = " ".join(subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True).stdout.split())
        self.assertIn("The trace as CSV (trace.csv) does not go with this report", text)
        self.assertIn(hashlib.sha256(records.read_bytes()).hexdigest()[:8], text)
        found = self.agrees(path, "--archive", archive)
        self.assertRegex(found["records-1.bin, archive"]["what"], "the archive holds all [0-9]+ records")
        self.assertNotIn("trace.csv, computed again", found)
        # Neither the report's records nor the archive's are held to be compared.
        beside_alone_kb = self.most_held_kb("verify", path, "--archive", archive) - self.most_held_kb("verify", path)
        self.assertLess(beside_alone_kb * 1024, records.stat().st_size / 2)
        page = self.report("again.pdf", "--archive", archive)
        self.assertEqual(page.read_bytes(), path.read_bytes())
        with records.open("r+b") as file:
            file.seek(40_000_011)
            byte = file.read(1)[0]
            file.seek(40_000_011)
            file.write(bytes([byte ^ 4]))
        found = self.differs(path, "records-1.bin", "was changed", "--archive", archive)
        self.assertRegex(found["computing again"]["what"], "the checksum of record 1250001 in the file is wrong")
        self.assertIn("is not in the archive as it is here", found["records-1.bin, archive"]["what"])
        with records.open("r+b") as file:
            file.truncate(40_000_011)
        found = self.differs(path, "records-1.bin", "was changed")
        self.assertRegex(found["computing again"]["what"], "these are not whole records")

    def test_an_html_report_has_all_of_it_beside_as_sha256sum_checks_it(self):
        self.report("visit.html")
        listed = subprocess.run(["sha256sum", "--check", "SHA256SUMS"], cwd=self.folder / "visit.html-evidence",
                                capture_output=True, text=True)
        self.assertEqual(listed.returncode, 0, listed.stdout)
        self.assertIn("source.csv: OK", listed.stdout)


if __name__ == "__main__":
    unittest.main()

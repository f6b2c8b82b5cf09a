#!/usr/bin/env python3
"""Traces that no logger should have made, in the user's hands: each a sensible answer or a clear error,
from a CSV and out of an archive alike."""
import unittest
from datetime import datetime, timedelta, timezone
from programs import EndToEnd, quaycell

BOAT = ("--hull", "steel")
SCALE = ("--scale", "agcl/open")
HEADER = "time,potential_mv\r\n"
START = datetime(2026, 5, 4, 6, tzinfo=timezone.utc)


def line(seconds, potential, start=START):
    time = (start + timedelta(seconds=seconds)).strftime("%Y-%m-%dT%H:%M:%SZ")
    return f"{time},{potential}\r\n"


def lines(count, potential=lambda i: -950, every_s=10, start=START):
    return "".join(line(i * every_s, potential(i), start) for i in range(count))


class OddTraces(EndToEnd):
    def csv(self, text):
        path = self.folder / "odd.csv"
        path.write_text(text)
        return path

    def judged(self, text):
        """What is said of the file, which has to be said of its import as well."""
        path = self.csv(text)
        of_file = self.document("judge", "--trace", path, *BOAT, *SCALE)
        archive = self.folder / "odd.quaycell"
        archive.unlink(missing_ok=True)
        self.done("import", path, "--archive", archive, *SCALE)
        of_import = self.document("judge", "--archive", archive, *BOAT)
        for key in ("verdict", "readings", "time_share", "statistics", "spells", "gaps", "events"):
            self.assertEqual(of_file[key], of_import[key], key)
        return of_file

    def refused_both_ways(self, text, says):
        path = self.csv(text)
        self.refused(2, "judge", "--trace", path, *BOAT, *SCALE, says=says)
        self.refused(2, "import", path, "--archive", self.folder / "no.quaycell", *SCALE, says=says)
        self.assertFalse((self.folder / "no.quaycell").exists())

    def test_an_empty_file_lacks_its_header_and_a_header_alone_tells_nothing(self):
        self.refused_both_ways("", says=["header", "time,potential_mv"])
        judged = self.document("judge", "--trace", self.csv(HEADER), *BOAT, *SCALE)
        self.assertEqual(judged["readings"], 0)
        self.assertIn("until a potential is measured", judged["advice"][0])
        self.assertEqual(len(judged["advice"]), 1)
        self.refused(2, "import", self.csv(HEADER), "--archive", self.folder / "no.quaycell", *SCALE,
                     says=["no reading"])

    def test_one_reading_is_judged_and_covers_no_time(self):
        judged = self.judged(HEADER + line(0, -950))
        self.assertEqual((judged["verdict"], judged["readings"], judged["covered_s"]), ("protected", 1, 0))
        self.assertEqual(judged["statistics"]["median_mv"], judged["statistics"]["min_mv"])
        self.assertEqual(judged["time_share"]["protected"], 1)

    def test_readings_that_are_all_equal_are_one_spell_and_no_event(self):
        judged = self.judged(HEADER + lines(20_000))
        self.assertEqual((judged["verdict"], len(judged["spells"]), judged["events"]), ("protected", 1, []))
        self.assertEqual(judged["statistics"]["p5_mv"], judged["statistics"]["p95_mv"])

    def test_readings_that_are_all_missing_get_no_verdict(self):
        judged = self.judged(HEADER + lines(5000, lambda i: ""))
        self.assertEqual((judged["verdict"], judged["readings"]), ("no-verdict", 5000))
        self.assertEqual(judged["time_share"]["no-verdict"], 1)
        self.assertIsNone(judged["statistics"]["median_mv"])
        self.assertIn("until a potential is measured", judged["advice"][0])

    def test_times_out_of_order_or_twice_are_named_by_line(self):
        self.refused_both_ways(HEADER + line(10, -950) + line(0, -951),
                               says=["odd.csv:3:1", "earlier than", "Sort"])
        self.refused_both_ways(HEADER + line(0, -950) + line(0, -951), says=["odd.csv:3:1", "the same", "Sort"])

    def test_times_that_are_still_to_come_are_judged_and_told(self):
        judged = self.judged(HEADER + lines(100, start=START.replace(year=2999)))
        self.assertEqual((judged["verdict"], judged["readings"]), ("protected", 100))
        self.assertTrue(any("in the future" in reason for reason in judged["reasons"]), judged["reasons"])

    def test_a_year_of_silence_is_a_gap_that_counts_for_nothing(self):
        year = timedelta(days=365)
        judged = self.judged(HEADER + lines(1000) + lines(1000, lambda i: -951, start=START + year))
        self.assertEqual(len(judged["gaps"]), 1)
        self.assertEqual(judged["covered_s"], 20_000)
        self.assertEqual([event["kind"] for event in judged["events"]], ["gap"])
        self.assertIn("364 d", judged["events"][0]["why"])

    def test_a_year_at_one_reading_a_day_is_judged(self):
        judged = self.judged(HEADER + lines(365, lambda i: -950 - i % 3, every_s=86400))
        self.assertEqual((judged["verdict"], judged["gaps"]), ("protected", []))

    def test_a_figure_of_each_is_drawn(self):
        for text in ("", line(0, -950), lines(3), lines(50, lambda i: ""), lines(2, every_s=40_000_000)):
            with self.subTest(text[:60]):
                result = quaycell("trace", "--trace", self.csv(HEADER + text), *BOAT, *SCALE, "--output",
                                  self.folder / "odd.svg")
                self.assertEqual(result.returncode, 0, result.stderr)


if __name__ == "__main__":
    unittest.main()

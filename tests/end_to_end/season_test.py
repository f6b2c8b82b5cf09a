#!/usr/bin/env python3
"""A season in one archive, brought home month by month: several deployments of one boat, read as one
trace. Traces are made up and imported, so that no logger has to run for months."""
import csv
import io
import math
import unittest
from datetime import datetime, timedelta, timezone
from programs import EndToEnd

MAY = datetime(2026, 5, 1, tzinfo=timezone.utc)


def trace(first_day, days, level_mv, interval_min=30):
    """Drifts by 1 mV a day from the first of May on, with a tide of 15 mV."""
    rows = ["time,potential_mv,cell_scale"]
    for i in range(days * 24 * 60 // interval_min):
        at = MAY + timedelta(days=first_day, minutes=i * interval_min)
        hours = (at - MAY).total_seconds() / 3600
        value = level_mv + hours / 24 + 15 * math.cos(hours / 12.42 * 2 * math.pi) + 0.7 * (i % 5 - 2)
        rows.append(f"{at:%Y-%m-%dT%H:%M:%SZ},{value:.2f},agcl/open")
    return "\r\n".join(rows) + "\r\n"


class Season(EndToEnd):
    def setUp(self):
        super().setUp()
        self.archive = self.folder / "tern.quaycell"

    def bring_home(self, name, *made):
        path = self.folder / name
        path.write_bytes(trace(*made).encode())
        self.done("import", path, "--archive", self.archive)

    def judged(self, *options):
        return self.document("judge", "--archive", self.archive, "--hull", "steel", *options)

    def test_months_are_one_trace_with_one_drift_over_all_of_them(self):
        self.bring_home("may.csv", 0, 14, -1010)
        self.bring_home("june.csv", 20, 14, -1003)  # another cell, 7 mV off
        self.bring_home("july.csv", 40, 14, -1010, 10)
        season = self.judged("--deployment", "all")
        self.assertEqual(season["readings"], 2 * 14 * 48 + 14 * 144)
        self.assertEqual(len(season["gaps"]), 2)
        self.assertAlmostEqual(season["covered_s"], 42 * 86400, delta=7200)
        self.assertTrue(season["trend"]["significant"])
        self.assertLess(season["trend"]["low"], 1)
        self.assertGreater(season["trend"]["high"], 1)
        self.assertLess(season["trend"]["high"] - season["trend"]["low"], 0.3)
        joints = [e for e in season["events"] if e["kind"] == "restart"]
        self.assertEqual([e["time"] for e in joints], ["2026-05-21T00:00:00Z", "2026-06-10T00:00:00Z"])
        self.assertIn("deployment 2 (imported june.csv) begins", joints[0]["why"])
        self.assertFalse([e for e in season["events"] if e["kind"] == "step"])
        self.assertIn("deployments 1, 2, 3 are read as one trace", " ".join(season["reasons"]))
        # One month tells no drift.
        self.assertFalse(self.judged("--deployment", 3)["trend"]["significant"])

    def test_some_of_them_are_named_in_any_order_and_each_counts_once(self):
        self.bring_home("may.csv", 0, 3, -1010)
        self.bring_home("june.csv", 20, 3, -1010)
        self.bring_home("july.csv", 40, 3, -1010)
        self.assertEqual(self.judged("--deployment", "3,1,3")["readings"], 2 * 3 * 48)
        self.refused(2, "judge", "--archive", self.archive, "--hull", "steel", says=["1,2, or all"])

    def test_each_is_corrected_by_itself(self):
        self.bring_home("may.csv", 0, 3, -1010)
        self.bring_home("june.csv", 20, 3, -1010)
        self.done("correct", "--archive", self.archive, "--deployment", 2, "--move-times", "+1h", "--why",
                  "laptop on summer time")
        season = self.judged("--deployment", "1,2")
        self.assertEqual(season["spells"][0]["from"], "2026-05-01T00:00:00Z")
        self.assertEqual(season["gaps"][0]["to"], "2026-05-21T01:00:00Z")
        self.assertEqual(len(season["corrections"]), 1)
        self.assertEqual(self.judged("--deployment", "1,2", "--uncorrected")["gaps"][0]["to"],
                         "2026-05-21T00:00:00Z")

    def test_export_and_figure_take_them_too(self):
        self.bring_home("may.csv", 0, 3, -1010)
        self.bring_home("june.csv", 20, 3, -1010)
        rows = list(csv.DictReader(io.StringIO(self.done("export", "--archive", self.archive,
                                                         "--deployment", "all"))))
        self.assertEqual(len(rows), 2 * 3 * 48)
        figure = self.folder / "season.svg"
        self.done("trace", "--archive", self.archive, "--deployment", "all", "--hull", "steel", "--output",
                  figure)
        self.assertIn("tern.quaycell, deployments 1, 2", figure.read_text())

    def test_what_was_exported_as_one_trace_comes_back_with_its_joints(self):
        self.bring_home("may.csv", 0, 14, -1010)
        self.bring_home("june.csv", 20, 14, -1003)
        season = self.judged("--deployment", "all")
        exported = self.folder / "season.csv"
        self.done("export", "--archive", self.archive, "--deployment", "all", "--output", exported)
        again = self.document("judge", "--trace", exported, "--hull", "steel")
        for key in ("events", "trend", "spells", "statistics"):
            self.assertEqual(again[key], season[key])
        (joint,) = [event for event in again["events"] if event["kind"] == "restart"]
        self.assertIn("deployment 2 (imported june.csv) begins", joint["why"])

    def test_what_cannot_be_one_trace_is_refused_with_what_to_do(self):
        self.bring_home("may.csv", 0, 3, -1010)
        self.bring_home("again.csv", 2, 3, -1010)
        judge = ("judge", "--archive", self.archive, "--hull", "steel", "--deployment")
        self.refused(2, *judge, "all", says=["deployment 1 (imported may.csv)", "overlap",
                                             "2026-05-03T23:30:00Z", "--move-times"])
        self.refused(2, *judge, "1,7", says=["there is no deployment 7", "imported may.csv"])
        for words in ("1;2", "may", "0", "1,,2", "-1"):
            with self.subTest(words):
                self.refused(2, *judge, words, says=["2,3,5, or all"])
        self.done("correct", "--archive", self.archive, "--deployment", 2, "--cell-scale", "sce", "--why",
                  "the other cell")
        self.done("correct", "--archive", self.archive, "--deployment", 2, "--move-times", "+10d", "--why",
                  "the wrong month")
        self.refused(2, *judge, "1,2", says=["agcl/open", "sce", "--cell-scale"])


if __name__ == "__main__":
    unittest.main()

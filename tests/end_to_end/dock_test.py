#!/usr/bin/env python3
"""At the dock with the simulated logger: what it is doing, live readings, a second deployment."""
import csv
import json
import unittest
from programs import EndToEnd


class AtTheDock(EndToEnd):
    def setUp(self):
        super().setUp()
        self.bench = self.start_bench("quiet-berth.toml")

    def test_status_tells_what_the_logger_is_doing(self):
        status = self.document("status", "--port", self.bench.port)
        self.assertEqual(status["device"], f"{4711:08x}")
        self.assertEqual(status["state"], "idle")
        self.assertEqual(status["faults"], [])
        self.assertAlmostEqual(status["battery_mv"], 4600, delta=30)
        self.assertIn("state: idle", self.done("status", "--port", self.bench.port))

    def test_live_readings_are_judged_for_the_hull_as_they_come(self):
        lines = self.done("live", "--port", self.bench.port, "--hull", "steel", "--salinity", 31,
                          "--cell-checked", "--count", 8, "--json").splitlines()
        self.assertEqual(len(lines), 8)
        settled = [json.loads(line) for line in lines][-1]
        # The scenario starts two hours before high water: -910 + 6 cos(2 pi 2 / 12.42) + 3 cos(...)
        self.assertAlmostEqual(settled["standard_mv"], -909, delta=15)
        self.assertAlmostEqual(settled["temperature_c"], 13, delta=2)
        self.assertEqual(settled["verdict"], "protected")
        self.assertFalse(settled["recorded"])

    def test_a_logger_that_holds_readings_is_armed_again_only_when_they_are_in_an_archive(self):
        port, archive = self.bench.port, self.folder / "a.quaycell"
        self.done("deploy", "--port", port, "--interval", "10s", "--clock", "2026-05-04T06:00:00Z")
        self.bench.tell("advance 2h")
        self.refused(1, "deploy", "--port", port, says=["earlier deployment", "--archive"])
        self.done("deploy", "--port", port, "--archive", archive, "--interval", "1min", "--clock",
                  "2026-05-05T06:00:00Z")
        self.bench.tell("advance 1h")
        self.done("collect", "--port", port, "--archive", archive)

        deployments = self.document("status", "--archive", archive)["deployments"]
        self.assertEqual([d["deployment"] for d in deployments], [1, 2])
        self.assertGreaterEqual(deployments[0]["readings"], 719)
        self.assertAlmostEqual(deployments[1]["readings"], 60, delta=2)
        second = self.document("judge", "--archive", archive, "--hull", "steel")
        self.assertEqual(second["readings"], deployments[1]["readings"])
        first = self.document("judge", "--archive", archive, "--hull", "steel", "--deployment", 1)
        self.assertEqual(first["readings"], deployments[0]["readings"])

    def test_what_export_writes_import_reads_back_the_same(self):
        port, archive = self.bench.port, self.folder / "a.quaycell"
        self.done("deploy", "--port", port, "--interval", "10s", "--clock", "2026-05-04T06:00:00Z")
        self.bench.tell("advance 10min")
        self.done("collect", "--port", port, "--archive", archive)
        exported, again = self.folder / "one.csv", self.folder / "two.csv"
        self.done("export", "--archive", archive, "--salinity", 31, "--scale", "agcl/open",
                  "--output", exported)
        other = self.folder / "b.quaycell"
        self.done("import", exported, "--archive", other)
        self.done("import", exported, "--archive", other)
        self.assertEqual(len(self.document("status", "--archive", other)["deployments"]), 1)
        self.done("export", "--archive", other, "--salinity", 31, "--output", again)
        for before, after in zip(self.rows(exported), self.rows(again), strict=True):
            # Derived from the readings, which were rounded to 0.001 mV in between.
            self.assertAlmostEqual(float(before.pop("standard_mv")), float(after.pop("standard_mv")),
                                   delta=0.0011)
            self.assertEqual(before, after)

    def rows(self, file):
        with open(file, newline="") as lines:
            rows = list(csv.DictReader(lines))
        self.assertGreater(len(rows), 50)
        return rows


if __name__ == "__main__":
    unittest.main(verbosity=2)

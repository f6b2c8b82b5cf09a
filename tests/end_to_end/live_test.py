#!/usr/bin/env python3
"""Live readings: by what they are judged, and how they end."""
import json
import signal
import unittest
from programs import EndToEnd, quaycell
from running import Running


class LiveReadings(EndToEnd):
    def setUp(self):
        super().setUp()
        self.port = self.start_bench("quiet-berth.toml").port

    def test_the_grounds_are_told_once_and_nothing_is_assumed_that_is_measured(self):
        live = quaycell("live", "--port", self.port, "--hull", "aluminium", "--count", 10)
        self.assertEqual(live.returncode, 0, live.stderr)
        self.assertNotIn("assumed: water temperature", live.stderr)
        self.assertIn("assumed: sea water", live.stderr)
        self.assertIn("caution: ", live.stderr)
        # The aluminium row of the default rules, in their table: from -950 mV.
        self.assertEqual(live.stderr.count("protected from -950"), 1)
        self.assertRegex(live.stdout, r"mV on agcl/seawater, within \d+ mV  [a-z]")

    def test_a_wrong_hull_is_wrong_usage(self):
        self.refused(2, "live", "--port", self.port, "--hull", "paper", says=["paper"])

    def test_ctrl_c_is_how_it_ends(self):
        live = Running("live", "--port", self.port, "--hull", "steel", "--json")
        while len(live.lines_with("assumed")) < 1:  # told once a reading has settled
            self.assertIsNone(live.poll(), live.said)
        live.process.send_signal(signal.SIGINT)
        self.assertEqual(live.wait(20), 0, live.said)
        for line in live.stdout.splitlines():
            json.loads(line)


if __name__ == "__main__":
    unittest.main(verbosity=2)

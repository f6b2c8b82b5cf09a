#!/usr/bin/env python3
"""Live readings: by what they are judged, and how they end."""
import json
import signal
import subprocess
import sys
import unittest
from programs import BUILD, ROOT, Bench, EndToEnd, quaycell
from running import Running

sys.path.insert(0, str(ROOT / "tests" / "faults"))
from cases import ByRate, Case  # noqa: E402
from line import Line  # noqa: E402


class LiveReadings(EndToEnd):
    def setUp(self):
        super().setUp()
        self.bench = self.start_bench("quiet-berth.toml", "--pace", 20)
        self.port = self.bench.port

    def test_the_grounds_are_told_once_and_nothing_is_assumed_that_is_measured(self):
        live = quaycell("live", "--port", self.port, "--hull", "aluminium", "--count", 10)
        self.assertEqual(live.returncode, 0, live.stderr)
        self.assertNotIn("assumed: water temperature", live.stderr)
        self.assertIn("assumed: sea water", live.stderr)
        self.assertIn("caution: ", live.stderr)
        # The aluminium row of the default rules, in their table: from -950 mV.
        self.assertEqual(live.stderr.count("protected from -950"), 1)
        self.assertRegex(live.stdout, r"mV on agcl/seawater, within \d+ mV  [a-z]")

    def test_what_to_do_and_to_beware_of_is_told_before_the_first_reading(self):
        live = quaycell("live", "--port", self.port, "--hull", "aluminium", "--count", 1)
        self.assertEqual(live.returncode, 0, live.stderr)
        begin = live.stderr.splitlines()[:5]
        self.assertTrue(begin[0].startswith("Begin with the usual dock connections in place."), begin)
        for words in ("caution: Nobody is in the water", "caution: Run this computer on its battery"):
            self.assertTrue(any(line.startswith(words) for line in begin), begin)

    def test_too_much_ac_says_stop_whatever_the_form_and_once(self):
        self.bench.tell("source -900")
        self.bench.tell("ac 120 50")
        for form in ("words", "csv", "nmea0183"):
            live = quaycell("live", "--port", self.port, "--hull", "aluminium", "--count", 25, "--format", form)
            self.assertEqual(live.returncode, 0, live.stderr)
            # At first it may be the hum of an open lead; a look at the leads makes it certain.
            self.assertEqual(live.stderr.count("AC PERHAPS TOO HIGH"), 1, live.stderr)
            self.assertEqual(live.stderr.count("AC TOO HIGH"), 1, live.stderr)
            said = [line.split(": ", 2)[2] for line in live.stderr.splitlines() if line.startswith("CAUTION: ")]
            self.assertTrue(said[3].startswith("AC TOO HIGH: "), said)
            for first in (0, 3):
                self.assertEqual(said[first + 1], "Stop. Have a licensed electrician find the source.")
                self.assertTrue(said[first + 2].startswith("Nobody goes into the water"), said)
            self.assertNotIn("CAUTION", live.stdout)

    def test_a_clip_on_another_metal_has_the_leads_looked_at_at_once(self):
        self.bench.tell("source -900")
        live = subprocess.Popen([BUILD / "bin" / "quaycell", "live", "--port", self.port, "--hull", "aluminium", "--json"],
                                stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        self.addCleanup(live.communicate)
        self.addCleanup(live.terminate)

        def readings_until(holds, most):
            for count in range(1, most):
                if holds(json.loads(live.stdout.readline())):
                    return count
            self.fail("never in so many readings")

        # By itself the logger looks once a minute.
        for potential_mv in (-700, -900, -500, -800):
            readings_until(lambda reading: 12 <= (reading["lead_looked_ago_s"] or 0) < 40, 200)
            self.bench.tell(f"source {potential_mv}")
            readings_until(lambda reading: abs(reading["potential_mv"] - potential_mv) < 50, 200)
            readings_until(lambda reading: reading["lead_looked_ago_s"] <= 3, 15)

    def test_nothing_is_judged_before_cell_and_leads_were_looked_at(self):
        for form in ("json", "csv"):
            live = quaycell("live", "--port", self.port, "--hull", "aluminium", "--count", 8, "--format", form)
            self.assertEqual(live.returncode, 0, live.stderr)
            lines = live.stdout.splitlines()
            if form == "csv":
                self.assertIn("unsettled", lines[1])
                continue
            for reading in map(json.loads, lines):
                if reading["lead"] == "not looked at":
                    self.assertEqual(reading["shown"]["verdict"], "no-verdict")
            self.assertNotEqual(json.loads(lines[-1])["lead"], "not looked at")

    def test_a_wrong_hull_is_wrong_usage(self):
        self.refused(2, "live", "--port", self.port, "--hull", "paper", says=["paper"])

    def test_ctrl_c_is_how_it_ends(self):
        live = Running("live", "--port", self.port, "--hull", "steel", "--json")
        while len(live.lines_with("assumed")) < 1:  # told once a reading has settled
            self.assertIsNone(live.poll(), live.said)
        live.process.send_signal(signal.SIGINT)
        self.assertEqual(live.wait(90), 0, live.said)
        for line in live.stdout.splitlines():
            json.loads(line)


class LiveReadingsOfSeveral(EndToEnd):
    def test_on_a_noisy_line_it_tells_how_many_frames_arrived_damaged(self):
        bench = self.start_bench("quiet-berth.toml")
        line = Line(bench.port, self.folder / "noisy",
                    damage={"to_host": ByRate(Case("flip", 3, 4e-4), "to_host")})
        live = Running("live", "--port", self.folder / "noisy", "--hull", "steel", "--count", 25)
        self.assertTrue(line.carry(live, 120))
        self.assertEqual(live.poll(), 0, live.said)
        told = live.lines_with("were not used")
        self.assertEqual(len(told), 1, live.said)
        self.assertRegex(told[0][1], r"[1-9]\d* ")

    def test_of_two_loggers_one_is_unplugged_for_a_while_and_the_other_goes_on(self):
        (self.folder / "other").mkdir()
        benches = [self.start_bench("quiet-berth.toml"),
                   Bench(self.folder / "other", "tidal-marina.toml")]
        self.addCleanup(benches[1].end)
        cable = Line(benches[0].port, self.folder / "cable",
                     events=[(500, lambda line: line.unplug(1.0))])
        live = Running("live", "--port", self.folder / "cable", "--port", benches[1].port, "--hull",
                       "steel", "--count", 20, "--json")
        self.assertTrue(cable.carry(live, 120))
        self.assertEqual(live.poll(), 0, live.said)
        self.assertEqual(len(live.lines_with("unplugged")), 1, live.said)
        self.assertEqual(len(live.lines_with("is back")), 1, live.said)
        of_device = [json.loads(line)["device"] for line in live.stdout.splitlines()]
        self.assertEqual(sorted(of_device.count(device) for device in set(of_device)), [20, 20])

    def test_of_two_ports_one_has_no_logger_and_the_other_is_shown(self):
        bench = self.start_bench("quiet-berth.toml")
        live = quaycell("live", "--port", bench.port, "--port", self.folder / "nothing", "--hull",
                        "steel", "--count", 3, "--json")
        self.assertEqual(live.returncode, 1)
        self.assertEqual(len(live.stdout.splitlines()), 3)
        self.assertIn("there is no such port", live.stderr)
        self.assertIn("1 of 2 loggers failed", live.stderr)


if __name__ == "__main__":
    unittest.main(verbosity=2)

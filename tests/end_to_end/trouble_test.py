#!/usr/bin/env python3
"""Chips, program and cells of a logger aboard fail and come back: status tells what fails now, judge what
failed when, and the recording goes on through all of it."""
import unittest

from programs import EndToEnd


class Trouble(EndToEnd):
    def setUp(self):
        super().setUp()
        self.bench = self.start_bench("quiet-berth.toml")

    def tell(self, *commands):
        for command in commands:
            self.bench.tell(command)

    def status(self):
        return self.document("status", "--port", self.bench.port)

    def test_status_tells_what_fails_and_that_it_is_back(self):
        self.assertEqual(self.status()["faults"], [])
        self.tell("converter absent")
        self.assertIn("the converter does not answer", self.status()["faults"][0])
        self.tell("converter back")
        self.assertEqual(self.status()["faults"], [])
        self.tell("clock stopped", "advance 1min")
        status = self.status()
        self.assertIn("the clock chip does not answer, stands still", status["faults"][0])
        self.assertIn("seconds are counted by the watchdog", status["clock_why"])
        self.assertIsNone(status["clock"])
        self.tell("clock back", "advance 1min")
        status = self.status()
        self.assertEqual(status["faults"], [])
        self.assertIn("it knows no time of day", status["clock_why"])  # it stood still meanwhile
        self.tell("clock jump 100000", "advance 1min")
        self.assertIn("jumped of itself", self.status()["clock_why"])

    def test_judge_tells_what_failed_when_and_nothing_is_left_out(self):
        self.document("deploy", "--port", self.bench.port, "--interval", "10s")
        self.tell("advance 10min", "clock absent", "advance 5min", "clock back", "advance 5min")
        self.tell("battery at 2600", "advance 1s", "battery back", "advance 5min")
        self.tell("seize adc", "advance 17s", "seize nothing", "advance 5min")
        self.tell("battery at 3350", "advance 15min")
        status = self.status()
        self.assertEqual(status["state"], "idle")
        self.assertIn("battery low", status["stopped_why"])
        self.tell("battery at 0", "advance 1min", "battery back", "advance 10min")
        self.assertEqual(self.status()["state"], "recording")

        archive = self.folder / "a.quaycell"
        self.document("collect", "--port", self.bench.port, "--archive", archive)
        judged = self.document("judge", "--archive", archive, "--hull", "aluminium")
        # A reading each 10 s for 50 min, ten of the fifteen on low cells among them, less three restarts.
        self.assertGreater(judged["readings"], 290)
        told = [(event["kind"], event["why"]) for event in judged["events"]]
        expected = [("clock-set", "the clock chip does not answer"),
                    ("clock-set", "the clock chip answers and runs again"),
                    ("restart", "its supply fell too low"),
                    ("restart", "its program hung, and the watchdog ended that"),
                    ("gap", "stopped: battery low"),
                    ("restart", "power came back")]
        found = iter(told)
        for kind, words in expected:
            self.assertTrue(any(kind == k and words in why for k, why in found), f"{words}: {told}")
        self.assertEqual(self.bench.close(), 0)


if __name__ == "__main__":
    unittest.main()

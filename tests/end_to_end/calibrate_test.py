#!/usr/bin/env python3
"""A logger compared with a multimeter by a person who follows what calibrate says; the bench plays source,
resistors and multimeter."""
import json
import re
import signal
import sqlite3
import subprocess
import unittest
from contextlib import closing
from programs import BUILD, SCENARIOS, EndToEnd, quaycell

QUESTION = "q to end: "
NEW = ("--instrument", "DMM 5.5 no. 12", "--instrument-uncertainty", 0.27)


def pace(simulated_s_per_s=80):
    return "--pace", simulated_s_per_s


class Walk:
    """`calibrate` while it runs: what it asks is heard, what is typed is sent."""

    def __init__(self, test, bench, *arguments):
        self.bench = bench
        self.heard = ""
        self.process = subprocess.Popen(
            [BUILD / "bin" / "quaycell", "calibrate", "--port", bench.port, *map(str, arguments)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        test.addCleanup(self.end)

    def end(self):
        self.process.kill()
        self.process.wait()
        for pipe in (self.process.stdin, self.process.stdout, self.process.stderr):
            pipe.close()

    def question(self):
        """What was said up to the next question; None when the program has ended."""
        said = ""
        while not said.endswith(QUESTION):
            byte = self.process.stderr.read(1)
            if not byte:
                self.heard += said
                return None
            said += byte.decode()
        self.heard += said
        return said

    def answer(self, line):
        self.process.stdin.write((line + "\n").encode())
        self.process.stdin.flush()

    def end_of_answers(self):
        """No answer comes any more; its exit code."""
        self.process.stdin.close()
        while self.question() is not None:
            pass
        return self.process.wait(timeout=60)

    def follow(self, person):
        """Lets `person` do and answer what is asked until the program ends; its exit code."""
        while (asked := self.question()) is not None:
            self.answer(person(asked))
        self.stdout = self.process.stdout.read().decode()
        return self.process.wait(timeout=60)


class Person:
    """Joins what is asked for and types what a multimeter shows that is `off_mv` off."""

    def __init__(self, bench, off_mv=0.0):
        self.bench = bench
        self.off_mv = off_mv
        self.steps = []

    def __call__(self, asked):
        if "what it shows in its AC range" in asked:
            return "1.000V"
        asked = asked[asked.rindex("\nstep "):]  # what was found before it is of no concern
        cell, rest = re.search(r"step \d+, cell ([AB])(.*)", asked).groups()
        self.steps.append(cell + rest)
        letter = " b" if cell == "B" else ""
        found = re.search(r"to about ([-+]\d+) mV", asked)
        potential = int(found[1]) if found else 0
        ohm = {"100 kohm": 100e3, "10 Mohm": 10e6, "with 10 kohm": 10e3}
        behind = next((value for words, value in ohm.items() if words in asked), 0)
        if "Take everything off" in asked:
            self.bench.tell("open" + letter)
        else:
            self.bench.tell(f"source {potential}{letter} {behind:.0f}")
        if (hz := re.search(r"of (\d\d) Hz", asked)) is not None:
            self.bench.tell(f"ac 1000 {hz[1]}.06")  # no mains keeps step with the logger's seconds
        return f"{(potential + self.off_mv) / 1000:.5f}V" if found else ""


class Calibrate(EndToEnd):
    def bench_of(self, logger="calibrated = false\ncell_b_offset_mv = 1", *options):
        scenario = self.folder / "bench.toml"
        berth = (SCENARIOS / "quiet-berth.toml").read_text()
        scenario.write_text(berth.replace("calibrated = true", logger))
        return self.start_bench(scenario, *(options or pace()))

    def held(self, bench):
        return self.document("calibrate", "--port", bench.port, "--show")["calibration"]

    def test_the_whole_walk_for_cell_a_then_a_second_temperature(self):
        bench = self.bench_of()
        archive = self.folder / "a.quaycell"
        person = Person(bench)
        walk = Walk(self, bench, *NEW, "--json", "--archive", archive)
        self.assertEqual(walk.follow(person), 0, walk.heard)
        told = json.loads(walk.stdout)
        calibration = told["calibration"]
        # The bench's converter reads 0.04 % too much.
        self.assertAlmostEqual(calibration["cell_a"]["gain"], 1 / 1.0004, delta=1e-4)
        self.assertAlmostEqual(calibration["zero_codes"], 2, delta=0.5)
        self.assertEqual(calibration["instrument"], "DMM 5.5 no. 12")
        self.assertEqual(calibration["instrument_expanded_uncertainty_mv"], 0.27)
        self.assertIsNone(calibration["cell_b"])
        self.assertTrue(all(check["accepted"] and check["source"] for check in told["checks"]))
        self.assertEqual({check["step"] for check in told["checks"]}, {1, 2, 3, 4, 5, 6, 7, 8, 10})
        self.assertEqual(told["left_out"], [])
        self.assertEqual(len(person.steps), 16, walk.heard)
        self.assertEqual(self.held(bench), calibration)

        # Live readings go by it, and by the converter's checks that come with them.
        bench.tell("source -1000")
        line = json.loads(self.done("live", "--port", bench.port, "--count", 12, "--hull", "steel",
                                    "--json").splitlines()[-1])
        self.assertEqual(line["quality"], "")
        self.assertAlmostEqual(line["potential_mv"], -1000, delta=0.25)

        # Too close to the first temperature, and then far enough.
        near = Walk(self, bench, "--second-temperature")
        near.answer(Person(bench)(near.question()))
        self.assertEqual(near.end_of_answers(), 1)
        self.assertIn("less than 15 K apart", near.heard)
        self.assertIn("Nothing was written", near.heard)
        bench.tell("board 40")
        bench.tell("advance 70s")
        warm = Walk(self, bench, "--second-temperature", "--json", "--archive", archive)
        self.assertEqual(warm.follow(Person(bench)), 0, warm.heard)
        second = json.loads(warm.stdout)["calibration"]
        self.assertEqual(second["second_temperature_c"], 40)
        self.assertLess(abs(second["cell_a"]["gain_drift_ppm_per_k"]), 1)
        self.assertEqual(second["cell_a"]["gain"], calibration["cell_a"]["gain"])
        with closing(sqlite3.connect(archive)) as database:
            self.assertEqual(database.execute("SELECT count(*) FROM calibration").fetchone(), (2,))
        self.assertIn("two temperatures", self.done("calibrate", "--port", bench.port, "--show"))
        self.assertIn("two temperatures", self.done("status", "--port", bench.port))
        self.assertEqual(bench.close(), 0)

    def test_both_cells_without_the_parts_for_steps_5_to_8(self):
        bench = self.bench_of()
        person = Person(bench)
        walk = Walk(self, bench, *NEW, "--cell-b", "--skip", "5,6,7,8")
        self.assertEqual(walk.follow(person), 0, walk.heard)
        self.assertIn("step 8, cell B, 60 Hz: left out, not measured", walk.stdout)
        held = self.held(bench)
        self.assertAlmostEqual(held["cell_b"]["gain"], 1 / 1.0004, delta=1e-4)
        self.assertIsNone(held["cell_a"]["ac_gain_50_hz"])
        self.assertIsNone(held["cell_b"]["behind_10_mohm_mv"])
        self.assertIn("cell B\n", walk.stdout)

        # A second temperature for A alone gives B none of it.
        bench.tell("board 40")
        bench.tell("advance 70s")
        self.assertEqual(Walk(self, bench, "--second-temperature").follow(Person(bench)), 0)
        self.assertIsNotNone(self.held(bench)["cell_a"]["gain_drift_ppm_per_k"])
        self.assertIsNone(self.held(bench)["cell_b"]["gain_drift_ppm_per_k"])

    def test_what_is_wrong_is_told_and_leaves_the_logger_as_it_was(self):
        bench = self.bench_of("calibrated = true")
        before = self.held(bench)

        def refused(says, *answers, commands=()):
            walk = Walk(self, bench, *NEW, "--skip", "5,6,7,8")
            for command, line in zip((*commands, *[None] * len(answers)), answers):
                walk.question()
                if command:
                    bench.tell(command)
                walk.answer(line)
            self.assertEqual(walk.end_of_answers(), 1, walk.heard)
            self.assertIn(says, walk.heard)
            self.assertIn("Nothing was written to the logger", walk.heard)
            self.assertEqual(walk.process.stdout.read(), b"")

        refused("the answers end before this step is done", commands=["source 0"])
        refused("ended by the user", "", "q", commands=["source 0"])
        refused("a number with an optional mV or V is expected", "", "-1,5V", commands=["source 0"])
        refused("it is not finite", "", "NaN", commands=["source 0"])
        refused("Write -1.5V if it is volts", "", "-1.5", commands=["source 0"])
        refused("1500.0 mV is not about -1500 mV", "", "1.5V", commands=["source 0"])
        refused("\"s\" is not a potential", "", "s", commands=["source 0"])
        refused("the leads are swapped", "", "-1.5V", commands=["source 0", "source 1500"])
        refused("mV: offset: 1.", "", "-1.5V", "0.302V",
                commands=["source 0", "source -1500", "source 300"])
        refused("the source is at the other cell's jack", "", "-1.5V",
                commands=["source 0", "source -1500 b"])
        self.assertEqual(self.held(bench), before)

        interrupted = Walk(self, bench, *NEW)
        interrupted.question()
        interrupted.process.send_signal(signal.SIGINT)
        self.assertIsNone(interrupted.question())
        self.assertEqual(interrupted.process.wait(timeout=60), 1)
        self.assertIn("ended by Ctrl-C", interrupted.heard)

        self.done("deploy", "--port", bench.port, "--interval", "10s", "--without-lead-check",
                  "--discard-readings")
        self.refused(1, "calibrate", "--port", bench.port, *NEW, says=["recording", "quaycell erase"])
        self.refused(1, "calibrate", "--port", bench.port, "--second-temperature", says=["recording"])

    def test_a_logger_unplugged_in_the_middle_is_told(self):
        bench = self.bench_of()
        walk = Walk(self, bench, *NEW)
        walk.question()
        bench.tell("source 0")
        bench.close()
        walk.answer("")
        self.assertIsNone(walk.question())
        self.assertEqual(walk.process.wait(timeout=60), 1)
        self.assertIn("Nothing was written to the logger", walk.heard)

    def test_readings_past_the_due_date_are_judged_and_say_so(self):
        bench = self.bench_of("calibrated = true")  # compared when the scenario starts, in May 2026
        archive = self.folder / "a.quaycell"

        def judged(clock):
            self.done("deploy", "--port", bench.port, "--interval", "10s", "--clock", clock,
                      "--without-lead-check", "--discard-readings")
            bench.tell("advance 2min")
            self.done("collect", "--port", bench.port, "--archive", archive)
            told = self.document("judge", "--archive", archive, "--hull", "steel", "--explain")
            electronics, = (line for line in told["budget"]["lines"] if line["name"].startswith("electronics"))
            self.assertEqual((electronics["name"], electronics["value"]), ("electronics, by one temperature", 1.2))
            return [reason for reason in told["reasons"] if "calibration" in reason]

        self.assertEqual(judged("2027-05-01T00:00:00Z"), [])
        reason, = judged("2027-06-01T00:00:00Z")
        self.assertIn("had to be repeated by 2027-05-04", reason)

    def test_wrong_usage(self):
        for says, arguments in (("--instrument", ()),
                                ("longer than the 22 bytes", ("--instrument", "x" * 23)),
                                ("no uncertainty", ("--instrument", "x", "--instrument-uncertainty", -1)),
                                ("no uncertainty", ("--instrument", "x", "--instrument-uncertainty", "nan")),
                                ("--skip", ("--instrument", "x", "--skip", 3)),
                                ("--second-temperature", ("--instrument", "x", "--second-temperature"))):
            result = quaycell("calibrate", *arguments)
            self.assertEqual(result.returncode, 2, arguments)
            self.assertIn(says, result.stderr)

    def test_a_logger_without_a_calibration_says_so(self):
        bench = self.bench_of("calibrated = false")
        self.refused(1, "calibrate", "--port", bench.port, "--show", says=["holds no calibration", "--instrument"])
        self.refused(1, "calibrate", "--port", bench.port, "--second-temperature",
                     says=["no calibration to add to"])


if __name__ == "__main__":
    unittest.main(verbosity=2)

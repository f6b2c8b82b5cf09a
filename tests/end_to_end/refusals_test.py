#!/usr/bin/env python3
"""Wrong input in the user's hands: each a clear error with the right exit code, nothing on standard
output and nothing half-written."""
import fcntl
import os
import pty
import subprocess
import termios
import threading
import tty
import unittest
from programs import BUILD, EndToEnd

BOAT = '[vessel]\nname = "Tern"\nhull = "aluminium"\n'
TRACE = "time,potential_mv\r\n2026-05-04T06:00:00Z,-990\r\n2026-05-04T06:00:10Z,-991\r\n"


class WrongWords(EndToEnd):
    def test_an_unknown_command_scale_hull_or_water_names_the_valid_ones(self):
        self.refused(2, "polish", says=["polish", "--help"])
        self.refused(2, "convert", -800, "--from", "volts", "--to", "she",
                     says=["volts", "agcl/seawater", "zinc"])
        self.refused(2, "judge", "--potential", -870, "--hull", "cheese",
                     says=["cheese", "grp-aluminium-drive"])
        self.refused(2, "judge", "--potential", -870, "--hull", "steel", "--water", "soup",
                     says=["soup", "brackish"])

    def test_what_is_no_potential_or_out_of_range_is_refused(self):
        for potential in ("nan", "inf", "-870mA", "", "9999999"):
            with self.subTest(potential):
                self.refused(2, "judge", f"--potential={potential}", "--hull", "steel", says=["quaycell"])
        self.refused(2, "convert", -800, "--from", "agcl/open", "--to", "she", "--salinity", 99,
                     says=["99", "0.05", "42"])
        self.refused(2, "convert", -800, "--from", "agcl/open", "--to", "she", "--temperature", 80,
                     says=["80", "-2", "40"])

    def test_volts_without_their_unit_are_not_taken_for_millivolts(self):
        self.refused(2, "judge", "--potential", -0.87, "--hull", "steel", says=["-0.87V", "-0.87mV"])
        self.refused(2, "convert", -0.87, "--from", "sce", "--to", "she", says=["-0.87V", "-0.87mV"])
        volts = self.document("judge", "--potential", "-0.87V", "--hull", "steel")
        millivolts = self.document("judge", "--potential", -870, "--hull", "steel")
        self.assertEqual(volts["potential_mv"], millivolts["potential_mv"])

    def test_a_number_with_a_comma_says_how_to_write_it(self):
        self.refused(2, "judge", "--potential", -870, "--hull", "steel", "--salinity", "12,5",
                     says=["12,5", "12.5"])

    def test_what_is_no_number_of_a_survey_is_told_in_a_line_that_can_be_read(self):
        for command in (("report", "--output", "x.pdf"), ("survey", "--show"), ("export",)):
            for number in ("-1", "0", "x", "1.5", "9" * 30):
                with self.subTest(command=command, number=number):
                    said = self.refused(2, *command, "--archive", "x.quaycell", f"--survey={number}",
                                        says=[f'--survey: "{number}" is not the number of a survey', "count from 1"])
                    self.assertLess(max(map(len, said.splitlines())), 120)

    def test_two_waters_or_nothing_to_judge_is_refused(self):
        self.refused(2, "judge", "--potential", -870, "--hull", "steel", "--water", "sea",
                     "--salinity", 30, says=["quaycell"])
        self.refused(2, "judge", "--hull", "steel", says=["--potential", "--trace"])
        self.refused(2, "judge", "--potential", -870, says=["--hull", "--vessel"])


class WrongFiles(EndToEnd):
    def write(self, name, text):
        path = self.folder / name
        path.write_bytes(text.encode() if isinstance(text, str) else text)
        return path

    def test_a_missing_file_is_named(self):
        self.refused(1, "judge", "--trace", self.folder / "none.csv", "--hull", "steel",
                     says=["none.csv", "No such file"])

    def test_a_pipe_is_refused_as_input_and_read_as_standard_input(self):
        pipe = self.folder / "pipe"
        os.mkfifo(pipe)
        for command in (("judge", "--trace", pipe, "--hull", "steel"),
                        ("judge", "--archive", pipe, "--hull", "steel"),
                        ("vessel", "check", pipe),
                        ("import", pipe, "--archive", self.folder / "a.quaycell")):
            with self.subTest(command=command[0]):
                self.refused(2, *command, says=["pipe", "not a"])
        told = subprocess.run([BUILD / "bin" / "quaycell", "vessel", "check", "-"], input=BOAT,
                              capture_output=True, text=True, timeout=60)
        self.assertEqual(told.returncode, 0, told.stderr)

    def test_a_name_that_is_no_utf_8_makes_no_vessel_file(self):
        vessel = self.folder / "tern.toml"
        self.refused(2, "vessel", "new", vessel, "--name", "Ter\udcff", "--hull", "wood",
                     says=["--name", "UTF-8"])
        self.assertFalse(vessel.exists())

    def test_a_broken_line_of_a_trace_is_named_with_line_and_column(self):
        trace = self.write("week.csv", TRACE + "2026-05-04T06:00:20Z,minus nine\r\n")
        self.refused(2, "judge", "--trace", trace, "--hull", "steel", says=["week.csv:4:22"])
        self.refused(2, "import", trace, "--archive", self.folder / "a", "--scale", "agcl/open",
                     says=["week.csv:4:22"])
        self.assertFalse((self.folder / "a").exists(), "no archive was begun")

    def test_a_vessel_file_with_an_unknown_key_is_named_with_line_and_key(self):
        vessel = self.write("tern.toml", BOAT + 'colour = "red"\n')
        trace = self.write("week.csv", TRACE)
        figure = self.folder / "week.svg"
        self.refused(2, "vessel", "check", vessel, says=["tern.toml:4", "colour"])
        self.refused(2, "trace", "--trace", trace, "--vessel", vessel, "--output", figure,
                     says=["tern.toml:4", "colour"])
        self.assertFalse(figure.exists(), "no figure was begun")

    def test_a_foreign_file_is_not_taken_for_an_archive_and_stays_as_it_is(self):
        foreign = self.write("letter.txt", "Dear harbour master,\n" * 100)
        before = foreign.read_bytes()
        for command in (("judge", "--hull", "steel", "--archive", foreign),
                        ("import", self.write("week.csv", TRACE), "--scale", "sce", "--archive",
                         foreign)):
            with self.subTest(command[0]):
                self.refused(2, *command, says=["letter.txt"])
        self.assertEqual(foreign.read_bytes(), before)
        self.assertEqual({p.name for p in self.folder.iterdir()}, {"letter.txt", "week.csv"})

    def test_an_import_without_a_scale_is_refused(self):
        trace = self.write("week.csv", TRACE)
        self.refused(2, "import", trace, "--archive", self.folder / "a", says=["scale", "--scale"])
        self.assertFalse((self.folder / "a").exists(), "no archive was begun")

    def test_no_command_writes_over_what_it_reads_or_over_an_archive(self):
        trace, vessel = self.write("week.csv", TRACE), self.write("tern.toml", BOAT)
        archive = self.folder / "a.quaycell"
        self.done("import", trace, "--archive", archive, "--scale", "agcl/open")
        before = {path: path.read_bytes() for path in (trace, vessel, archive)}
        for output in before:
            for command in (("trace", "--format", "svg"), ("export",)):
                with self.subTest(f"{command[0]} over {output.name}"):
                    self.refused(1, *command, "--trace", trace, "--vessel", vessel, "--output",
                                 output, says=[output.name, "would be lost"])
        self.assertEqual({path: path.read_bytes() for path in before}, before)

    def test_a_full_disk_under_the_answer_is_an_error(self):
        trace = self.write("week.csv", TRACE)
        for command in (("judge", "--json"), ("export",)):
            with self.subTest(command[0]), open("/dev/full", "w") as full:
                result = subprocess.run(
                    [BUILD / "bin" / "quaycell", *command, "--trace", trace, "--hull", "steel"],
                    stdout=full, stderr=subprocess.PIPE, text=True, timeout=60)
                self.assertEqual(result.returncode, 1)
                self.assertIn("standard output", result.stderr)

    def test_a_wrong_budget_is_named_with_line_and_key(self):
        budget = self.write("own.toml", '[electronics]\nvalue_mv = 2\ncolour = "red"\n')
        for command in (("judge", "--potential", -870, "--hull", "steel"),
                        ("convert", -870, "--from", "sce", "--to", "she")):
            with self.subTest(command[0]):
                self.refused(2, *command, "--budget", budget, says=["own.toml:3", "colour", "value_mv"])

    def test_the_budget_that_the_program_prints_is_the_one_that_counts(self):
        budget = self.write("own.toml", self.done("judge", "--default-budget"))
        judging = ("judge", "--potential", -870, "--hull", "steel", "--explain")
        own = self.document(*judging, "--budget", budget)
        self.assertEqual(own, self.document(*judging))
        squares = sum(line["standard_mv"] ** 2 for line in own["budget"]["lines"])
        self.assertAlmostEqual(2 * squares ** 0.5, own["expanded_uncertainty_mv"], delta=0.06)

    def test_a_conversion_tells_its_parts_and_the_scales_their_potentials(self):
        water = ("--temperature", 9, "--salinity", 12)
        converted = self.document("convert", -870, "--from", "agcl/open", "--to", "cse", *water)
        added = sum(part["added_mv"] for part in converted["corrections"])
        self.assertAlmostEqual(converted["to"]["potential_mv"], -870 + added, delta=0.02)
        scales = {s["scale"]: s for s in self.document("scales", *water)["scales"]}
        self.assertEqual(len(scales), 11)
        self.assertAlmostEqual(added, scales["agcl/open"]["potential_mv"] - scales["cse"]["potential_mv"],
                               delta=0.02)

    def test_an_existing_vessel_file_is_left_alone(self):
        vessel = self.write("tern.toml", BOAT)
        self.refused(1, "vessel", "new", vessel, "--name", "Gull", "--hull", "wood", says=["tern.toml"])
        self.assertEqual(vessel.read_text(), BOAT)


class WrongPorts(EndToEnd):
    def setUp(self):
        super().setUp()
        self.ours, theirs = pty.openpty()
        tty.setraw(theirs)
        self.theirs = theirs
        self.port = os.ttyname(theirs)
        self.addCleanup(os.close, self.ours)
        self.addCleanup(os.close, self.theirs)

    def test_a_missing_port_is_named(self):
        self.refused(1, "status", "--port", self.folder / "none", says=["none", "no such port"])

    def test_a_file_is_not_taken_for_a_port(self):
        file = self.folder / "file"
        file.write_text("not a port")
        self.refused(2, "status", "--port", file, says=["file", "serial port"])
        self.assertEqual(file.read_text(), "not a port")

    def test_a_silent_port_is_told_from_one_that_talks_nonsense(self):
        silent = self.refused(1, "status", "--port", self.port, says=[self.port])

        ended = threading.Event()

        def chatter():
            while not ended.wait(0.05):
                os.write(self.ours, b"NOT A LOGGER\0\1\2\3\0")

        thread = threading.Thread(target=chatter)
        thread.start()
        try:
            nonsense = self.refused(1, "status", "--port", self.port, says=[self.port])
        finally:
            ended.set()
            thread.join()
        self.assertIn("nothing answers", silent)
        self.assertIn("bytes arrived but nothing that a logger says", nonsense)
        self.assertIn("115200 baud", nonsense)

    def test_a_port_in_use_is_told_as_such_and_nothing_is_begun(self):
        bench = self.start_bench("quiet-berth.toml")
        holder = os.open(os.path.realpath(bench.port), os.O_RDWR | os.O_NOCTTY)
        fcntl.flock(holder, fcntl.LOCK_EX)
        fcntl.ioctl(holder, termios.TIOCEXCL)
        self.addCleanup(os.close, holder)
        archive = self.folder / "a"
        self.refused(1, "collect", "--port", bench.port, "--archive", archive, says=["in use"])
        self.assertFalse(archive.exists(), "no archive was begun")


if __name__ == "__main__":
    unittest.main(verbosity=2)

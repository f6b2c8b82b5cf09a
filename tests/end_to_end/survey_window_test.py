#!/usr/bin/python3
"""A survey in a terminal's window: that it can be read in a narrow one, that a second Enter reads no fitting
too early, and that a window which is closed in the middle loses no point. The boat is invented."""
import os
import unittest
from programs import EndToEnd
from window import Window

VESSEL = """
[vessel]
name = "Invented"
hull = "grp"
[water]
salinity_psu = 35
temperature_c = 15
[cell]
scale = "agcl/seawater"
[[metal]]
name = "bronze"
kind = "copper-alloy"
[[point]]
name = "main bus"
""" + "".join(f"""
[[point]]
name = "{name}"
metal = "bronze"
""" for name in ("engine intake", "galley drain", "heads intake"))


class SurveyWindow(EndToEnd):
    def setUp(self):
        super().setUp()
        self.vessel = self.folder / "boat.toml"
        self.vessel.write_text(VESSEL)
        self.archive = self.folder / "boat.quaycell"
        self.bench = self.start_bench("quiet-berth.toml", "--pace", 40)
        self.bench.tell("source -872")

    def survey(self, size, *arguments):
        window = Window(*size, "survey", "--archive", self.archive, "--vessel", self.vessel, "--port",
                        self.bench.port, "--shore", "plugged", *arguments)
        self.addCleanup(window.close)
        return window

    def readings(self):
        survey = self.document("survey", "--archive", self.archive, "--vessel", self.vessel, "--show")
        return [(point["potential_mv"], point["point"]) for point in survey["points"]]

    def test_no_word_is_broken_in_a_narrow_window(self):
        for size in ((80, 24), (40, 20)):
            with self.subTest(size=size):
                window = self.survey(size, "--cell-travel", "one-place")
                window.wait_for("point 1 of 4: main bus plugged, anodes connected Enter to read, or a word:")
                for words in ("CAUTION: Run this computer on its battery: one on the mains ties the hull to the "
                              "shore's earth, and the readings with it.", "lifejacket on, and a second person"):
                    self.assertIn(words, window.text)
                window.press("\r")
                window.wait_for("point 2 of 4: engine intake (copper-alloy)")
                window.press("unplug\r")
                window.wait_for("CAUTION: Never lift, cut or bypass the protective earth: the whole cord comes out.")
                window.wait_for("unplugged, anodes connected? done or cancel:")
                window.press("cancel\r")
                window.wait_for("It stays as it was: plugged, anodes connected")
                window.press("list\r")
                window.wait_for("main bus -87")
                window.press("quit\r")
                self.assertEqual(window.end(), 0)

    def test_a_second_enter_while_a_fitting_is_read_does_not_read_the_next_one(self):
        window = self.survey((80, 24), "--cell-travel", "one-place")
        window.wait_for("point 1 of 4")
        window.press("\r\r\rnote too early\r")
        window.wait_for("point 2 of 4")
        window.wait_for("passed over: note too early")
        window.look(1)  # forty readings of the bench, in which a fitting would have been read
        self.assertNotIn("point 3 of 4", window.text)
        window.press("\r")
        window.wait_for("point 3 of 4")
        window.press("quit\r")
        self.assertEqual(window.end(), 0)
        self.assertEqual([name for _, name in self.readings()], ["main bus", "engine intake"])

    def test_no_word_of_an_error_is_broken_either(self):
        window = Window(40, 20, "survey", "--archive", self.archive, "--vessel", self.vessel, "--port", self.bench.port)
        self.addCleanup(window.close)
        self.assertEqual(window.end(), 2)
        self.assertIn("--shore: nobody said whether shore power is plugged in. Say plugged or unplugged; it may be "
                      "changed on the way.", window.text)

    def test_a_word_behind_a_second_enter_still_insists(self):
        window = self.survey((80, 24), "--cell-travel", "one-place")
        window.wait_for("point 1 of 4")
        window.press("\r\r!\r")  # before ten readings can have come
        window.wait_for("NOT SETTLED")
        window.wait_for("point 2 of 4")
        window.press("quit\r")
        self.assertEqual(window.end(), 0)

    def test_a_window_that_is_closed_in_the_middle_loses_no_point(self):
        window = self.survey((80, 24), "--cell-travel", "one-place")
        window.wait_for("point 1 of 4")
        window.press("\r")
        window.wait_for("point 2 of 4")
        self.bench.tell("source -860")
        window.press("\r")
        window.wait_for("point 3 of 4")
        self.bench.tell("source -860 5000000")  # bad contact: it reads for as long as nobody mends that
        window.press("\r")
        window.wait_for("lead or cell open?")
        os.close(window.own)  # the terminal goes: SIGHUP
        window.own = os.open(os.devnull, os.O_RDWR)
        self.assertNotEqual(window.process.wait(90), 0)
        readings = self.readings()
        self.assertEqual([name for _, name in readings], ["main bus", "engine intake"])
        for (potential_mv, _), true_mv in zip(readings, (-872, -860)):
            self.assertAlmostEqual(potential_mv, true_mv, delta=2)
        again = Window(80, 24, "survey", "--archive", self.archive, "--vessel", self.vessel, "--port",
                       self.bench.port, "--resume")
        self.addCleanup(again.close)
        again.wait_for("point 3 of 4: galley drain")


if __name__ == "__main__":
    unittest.main(verbosity=2)

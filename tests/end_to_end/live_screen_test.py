#!/usr/bin/python3
"""The screen of `live` in windows of two sizes: what it shows, what its keys do, and that it gives the
window back however it ends."""
import os
import signal
import time
import unittest
from programs import BUILD, EndToEnd, quaycell
from window import Window

SIZES = [(80, 24), (40, 20)]


class Screen(EndToEnd):
    def setUp(self):
        super().setUp()
        self.bench = self.start_bench("quiet-berth.toml", "--pace", 40)

    def live(self, size=(80, 24), *arguments, **environment):
        window = Window(*size, "live", "--port", self.bench.port, "--hull", "aluminium", "--salinity", "30",
                        *arguments, **environment)
        self.addCleanup(window.close)
        return window

    def test_it_begins_with_what_to_beware_of_and_then_shows_what_has_settled(self):
        for size in SIZES:
            with self.subTest(size=size):
                window = self.live(size)
                window.wait_for("any key: go on")
                for words in ("Nobody is in the water while this lasts", "Run this computer on its battery",
                              "lifejacket on"):
                    self.assertIn(words, window.text)
                window.press(" ")
                window.wait_for("reading settled: 10 within 2 mV")
                for words in ("mV agcl/seawater, within ", "UNDER-PROTECTED, cell not settled",
                              "aluminium: protected from -950 to -1100 mV on agcl/seawater", "AC ", "leads good",
                              "water 1", "battery 4.", "shore nobody has said"):
                    self.assertIn(words, window.text)
                self.assertGreater(window.text.count("\u2588"), 30)  # the number, large
                window.press("q")
                self.assertEqual(window.end(), 0)
                self.assertTrue(window.is_given_back())
                left = window.bytes[window.bytes.rfind(b"\033[?1049l"):]
                self.assertIn(b"criterion: aluminium, protected from -950", b" ".join(left.split()))
                self.assertLessEqual(max(map(len, left.decode().splitlines()[1:])), size[0])

    def test_the_cell_settles_in_five_minutes(self):
        window = self.live()
        window.wait_for("any key")
        window.press(" ")
        window.wait_for("cell so far ", 120)
        window.wait_for("cell settled: ", 240)
        self.assertIn("UNDER-PROTECTED aluminium", window.text)

    def test_by_what_it_is_judged_is_told_screen_after_screen_in_a_small_window(self):
        window = self.live((40, 20))
        window.wait_for("any key: go on")
        window.press(" ")
        window.wait_for("reading settled")
        window.press("w")
        window.wait_for("criterion: aluminium, protected from -950")
        window.wait_for("and more: any key")
        seen = window.text
        for _ in range(9):
            if "more: any key" not in window.text:
                break
            before = window.lines[1:-1]  # below the time, above the keys
            window.press(" ")
            while window.lines[1:-1] == before:
                self.assertIsNone(window.process.poll())
                window.look()
            seen += window.text
        self.assertIn("caution: No magnesium anode on aluminium in salt water.", seen)
        self.assertIn("caution: Never lift, cut or bypass the protective earth", seen)
        window.press(" ")
        window.wait_for("reading settled")

    def test_notes_and_the_shore_cord_are_kept_with_their_times(self):
        archive = self.folder / "tern.quaycell"
        self.done("collect", "--port", self.bench.port, "--archive", archive)
        window = self.live((40, 20), "--archive", archive, "--author", "Ann")
        window.wait_for("any key")
        window.press(" ")
        window.wait_for("reading settled")
        window.press("u")
        window.wait_for("u again: it is out; any other key: not")
        for words in ("unplug the whole shore cord", "Never lift, cut or bypass the protective earth",
                      "Run this computer on its battery", "shore"):
            self.assertIn(words, window.text)
        self.assertLess(window.text.index("Never lift"), window.text.index("unplug the whole shore cord"))
        window.press(" ")  # thought better of it
        window.wait_for("shore power stays as it was")
        self.assertEqual(self.document("note", "--archive", archive)["notes"], [])
        window.press("u")
        window.wait_for("u again: it is out")
        window.press("u")
        window.wait_for("kept in ")
        window.press("n")
        window.wait_for("note: _")
        before = time.time()
        window.press("hatch open, quiet")  # its letters are no keys now
        window.wait_for("note: hatch open, quiet_")
        time.sleep(1.5)
        window.press("\r")
        window.wait_until_gone("note: hatch")
        window.wait_for("hatch open, quiet")  # where it is kept is said with it
        window.wait_for("shore unplugged since ")
        window.wait_for("changed by ")
        window.process.kill()  # what was said to be kept is kept
        notes = self.document("note", "--archive", archive)["notes"]
        self.assertEqual([note["words"] for note in notes], ["shore power unplugged", "hatch open, quiet"])
        self.assertEqual({note["author"] for note in notes}, {"Ann"})
        self.assertLessEqual(notes[1]["time"], time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(before)))

    def test_an_archive_that_is_not_there_is_begun_with_the_first_note(self):
        archive = self.folder / "new.quaycell"
        window = self.live((80, 24), "--archive", archive)
        window.wait_for("any key")
        self.assertFalse(archive.exists(), "a mistyped name begins nothing")
        window.press("npump on\r")
        window.wait_for("a new archive: pump on")
        window.press("q")
        self.assertEqual(window.end(), 0)
        self.assertEqual([note["words"] for note in self.document("note", "--archive", archive)["notes"]], ["pump on"])

    def test_the_potential_is_shown_on_the_scale_that_is_asked_for(self):
        window = self.live((80, 24), "--display-scale", "cse")
        window.wait_for("any key")
        window.press(" ")
        window.wait_for("mV cse, within ")
        window.wait_for("judged -")
        self.assertIn("mV on agcl/seawater, within", window.text)
        window.press("q")
        self.assertEqual(window.end(), 0)
        self.refused(2, "live", "--port", self.bench.port, "--hull", "steel", "--display-scale", "gold", says=["gold", "cse"])

    def test_without_an_archive_notes_are_told_in_the_end(self):
        window = self.live()
        window.wait_for("any key")
        window.press("npump on\r")
        window.wait_for("noted, in no archive: pump on")
        window.wait_for("reading settled")
        window.press("q")
        self.assertEqual(window.end(), 0)
        self.assertIn("kept in no archive", window.text)
        self.assertIn("pump on", window.text)

    def test_too_much_ac_says_stop_at_both_sizes(self):
        self.bench.tell("source -900")
        self.bench.tell("ac 120 50")
        for size in SIZES:
            with self.subTest(size=size):
                window = self.live(size)
                window.wait_for("AC TOO HIGH: 1")  # after the look that tells it from the hum of an open lead
                window.press(" ")
                window.wait_until_gone("Begin with")
                for words in ("Have a licensed electrician find the source.", "Nobody goes into the water",
                              "50 is the limit"):
                    self.assertIn(words, window.text)
                window.process.terminate()
                self.assertEqual(window.end(), 0)
                self.assertTrue(window.is_given_back())
                self.assertIn("CAUTION: AC TOO HIGH: 1", window.text)
                self.assertIn("CAUTION: Stop.", window.text)

    def test_a_logger_that_is_lost_leaves_no_number_and_then_the_reason(self):
        window = self.live((40, 20), "--give-up-after", "3s")
        window.wait_for("any key")
        window.press(" ")
        window.wait_for("reading settled")
        self.bench.end()
        window.wait_for("NO READING: the logger is lost")
        self.assertNotIn("\u2588", window.text)
        self.assertIn("Waiting for it", window.text)
        self.assertEqual(window.end(), 1)
        self.assertTrue(window.is_given_back())

    def test_an_error_at_the_start_gives_the_window_back(self):
        window = Window(80, 24, "live", "--port", self.folder / "nothing", "--hull", "steel")
        self.addCleanup(window.close)
        self.assertEqual(window.end(), 1)
        self.assertTrue(window.is_given_back())
        self.assertIn("there is no such port", window.text)

    def test_a_bug_while_keys_are_read_gives_the_window_back_and_is_told(self):
        archive, fault = self.folder / "tern.quaycell", self.folder / "fault"
        window = self.live((80, 24), "--archive", archive, LD_PRELOAD=str(BUILD / "tests" / "made_to_fail.so"),
                           QUAYCELL_FAULT=str(fault))
        window.wait_for("any key")
        window.press("npump on\r")
        window.wait_for("kept in ")
        fault.touch()
        window.press("npump off\r")
        self.assertEqual(window.end(), 1)
        self.assertTrue(window.is_given_back())
        self.assertIn("this is a bug in the program, please report it: made to fail", window.text)

    def test_a_second_ctrl_c_ends_it_at_once_and_gives_the_window_back(self):
        window = self.live()
        window.wait_for("any key")
        self.bench.process.send_signal(signal.SIGSTOP)  # nothing comes: for seconds the first one is not looked at
        self.addCleanup(self.bench.process.send_signal, signal.SIGCONT)
        window.press("\x03")
        while window.process.poll() is None:  # two that come at once are one
            window.press("\x03")
            window.look()
        self.assertEqual(window.end(), -signal.SIGINT)
        self.assertTrue(window.is_given_back())

    def test_colour_where_it_is_wanted_and_the_same_words_without(self):
        self.bench.tell("source -900")  # the same number each time
        texts = []
        for colour in ({}, {"NO_COLOR": "1"}, {"NO_COLOR": ""}):
            window = self.live((80, 24), **colour)
            window.wait_for("any key")
            window.press(" ")
            window.wait_for("reading settled")
            texts.append(window.text.split("reading")[0][20:])
            has_colour = any(code in window.bytes for code in (b"\033[32m", b"\033[33m", b"\033[1;31m"))
            self.assertEqual(has_colour, colour.get("NO_COLOR") != "1")
            os.kill(window.process.pid, signal.SIGTERM)
            self.assertEqual(window.end(), 0)
        self.assertEqual(texts[0], texts[1])

    def test_it_follows_the_window_when_that_is_made_smaller(self):
        window = self.live((80, 24))
        window.wait_for("any key")
        window.press(" ")
        window.wait_for("reading settled")
        window.resize(40, 20)
        window.wait_for("n note p plug in u unplug w why q end")
        window.wait_for("reading settled")

    def test_on_a_terminal_that_cannot_be_drawn_on_there_are_lines(self):
        window = self.live((80, 24), "--count", 3, TERM="dumb")
        self.assertEqual(window.end(), 0)
        self.assertNotIn(b"\033", window.bytes)
        self.assertIn("mV on agcl/open", window.text)

    def test_an_archive_without_a_screen_to_type_notes_on_is_wrong_usage(self):
        self.refused(2, "live", "--port", self.bench.port, "--hull", "steel", "--archive", "a", says=["--archive"])


if __name__ == "__main__":
    unittest.main(verbosity=2)

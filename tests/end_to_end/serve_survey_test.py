#!/usr/bin/env python3
"""A survey walked through the page alone, in a browser, before the real server and the real firmware on the bench: the
same boat with a broken bond and swapped leads as in the terminal, and what comes out is the same."""
import json
import os
import shutil
import tempfile
import time
import unittest
from pathlib import Path
from browser import Browser
from programs import BUILD, Bench, quaycell
from serve_page_test import LAPTOP, PHONE, SHOTS, axe_script
from serving import Serving, Socket
import survey_test
from survey_test import TRUE_MV, VESSEL

BONDING, SECOND, THIRD = list(TRUE_MV)[:3]


class Walked(unittest.TestCase):
    """A folder, a server and the requests of a page."""
    maxDiff = None

    def setUp(self):
        temporary = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        self.addCleanup(temporary.cleanup)
        self.folder = Path(temporary.name)
        self.archive, self.vessel = self.folder / "boat.quaycell", self.folder / "boat.toml"
        self.vessel.write_text(VESSEL, encoding="utf-8")

    def serve(self, *arguments, **environment):
        serving = Serving("--archive", self.archive, "--vessel", self.vessel, *arguments, **environment)
        self.addCleanup(serving.end)
        return serving

    def shown(self):
        told = quaycell("survey", "--archive", self.archive, "--vessel", self.vessel, "--show", "--json")
        self.assertEqual(told.returncode, 0, told.stderr)
        return json.loads(told.stdout)

    def begin(self, serving, **fields):
        query = "&".join(f"{name}={value}" for name, value in fields.items())
        return serving.order(f"api/walk/begin?{query}")

    def say(self, serving, line, key=None, turn=None):
        if turn is None:
            turn = json.loads(serving.ask("api/walk")[2]).get("turn", 0)
        return serving.ask(f"api/walk/say?turn={turn}", "POST", body=line if isinstance(line, bytes) else line.encode(), headers={
            "Origin": serving.origin, "X-Quaycell-Key": key or serving.key})


@unittest.skipUnless(shutil.which("chromium"), "needs chromium")
class ThroughThePage(Walked):
    def setUp(self):
        super().setUp()
        self.browser = Browser(self.folder / "profile")
        self.addCleanup(self.browser.close)

    def open(self, serving, key=True, scheme="light", size=PHONE):
        page = self.browser.page(scheme=scheme, **size)
        page.open(serving.address + "survey" + (f"#{serving.key}" if key else ""))
        page.wait_for("!document.getElementById('start').hidden || !document.getElementById('walk').hidden "
                      "|| document.getElementById('told').innerText")
        return page

    def press(self, page, selector):
        page.wait_for(f"!document.querySelector('{selector}').disabled "
                      f"&& document.querySelector('{selector}').offsetParent")
        page.value(f"document.querySelector('{selector}').click()")

    def choose(self, page, name, value):
        page.value(f"document.getElementById('{name}').value = {json.dumps(value)}")

    def fill(self, page, name, text):
        page.value(f"document.getElementById('{name}').value = {json.dumps(text)}")

    def at(self, page, name):
        page.wait_for(f"document.getElementById('point').innerText.includes({json.dumps(name)}) "
                      "&& document.getElementById('read').offsetParent")

    def picture(self, page, name, size):
        if SHOTS:
            page.picture(Path(SHOTS) / f"survey-{name}-{'phone' if size is PHONE else 'laptop'}.png", whole=True)

    def test_eight_points_with_a_broken_bond_and_swapped_leads(self):
        bench = Bench(self.folder, "quiet-berth.toml", "--pace", 80)
        self.addCleanup(bench.end)
        serving = self.serve("--port", bench.port)
        page = self.open(serving)
        self.choose(page, "shore", "unplugged")
        self.choose(page, "travel", "one-place")
        self.picture(page, "start", PHONE)
        self.press(page, "#start button")
        page.wait_for("document.getElementById('cautions').innerText")
        self.assertIn("Nobody is in the water", page.text("#cautions"))
        for number, (name, potential) in enumerate(TRUE_MV.items(), 1):
            self.at(page, f"Point {number} of 8: {name}")
            if name == "heads intake":
                bench.tell(f"source {-potential} 1000")
                self.press(page, "#read")
                page.wait_for("document.getElementById('said').innerText.includes('the leads were swapped')")
                self.fill(page, "words", "leads swapped")
                self.press(page, "[data-with=strike]")
                self.at(page, f"Point {number} of 8: {name}")
            bench.tell(f"source {potential} 1000")
            self.press(page, "#read")
        page.wait_for("document.getElementById('point').innerText.includes('All points')")
        listed = page.text("#points")
        self.assertIn("galley drain", listed)
        self.assertIn("differs from the main bonding", listed)
        for size in (PHONE, LAPTOP):
            page.look(size["width"], size["height"], "light", size["mobile"])
            self.picture(page, "walked", size)
        self.press(page, "[data-say=finish]")
        page.wait_for("document.getElementById('heading').innerText.includes('ended')")
        self.assertEqual(page.complaints(), [])
        told = self.shown()
        survey_test.Survey.check_the_boat(self, told)
        self.assertEqual(told["instrument"], "logger 00001267")
        self.assertTrue(all(point["settled"] for point in told["points"]))

        # The same walk in the terminal comes to the same.
        answers = []
        for name, potential in TRUE_MV.items():
            if name == "heads intake":
                answers += [f"{-potential}", "strike leads swapped"]
            answers.append(f"{potential}")
        told_by_hand = quaycell("survey", "--archive", self.archive, "--vessel", self.vessel, "--multimeter", "DMM",
                                "--shore", "unplugged", "--cell-travel", "one-place", "--json",
                                typed="\n".join([*answers, "finish"]) + "\n")
        for mine, other in zip(told["points"], json.loads(told_by_hand.stdout)["points"], strict=True):
            self.assertEqual((mine["point"], mine["verdict"], mine["bond"]),
                             (other["point"], other["verdict"], other["bond"]))
            self.assertAlmostEqual(mine["potential_mv"], other["potential_mv"], delta=2)

    def test_ac_between_two_fittings_is_told_first_and_whether_it_is_certain(self):
        bench = Bench(self.folder, "quiet-berth.toml", "--pace", 10)
        self.addCleanup(bench.end)
        serving = self.serve("--port", bench.port)
        bench.tell("source -870 1000")
        page = self.open(serving)
        self.choose(page, "shore", "plugged")
        self.choose(page, "travel", "moved")
        self.press(page, "#start button")
        self.at(page, "Point 1 of 8")
        first = "document.querySelector('#cautions li')?.innerText"
        self.assertNotIn("AC TOO HIGH", page.text("#cautions"))
        bench.tell("source -870 5000000")  # a clip that makes bad contact
        bench.tell("ac 1000 50.06")
        page.wait_for(f"{first}.startsWith('AC PERHAPS TOO HIGH: ')")
        self.assertIn("or the lead is open, which hums", page.value(first))
        bench.tell("source -870 1000")
        bench.tell("ac 120 50.06")
        page.wait_for(f"{first}.startsWith('AC TOO HIGH: ')")
        self.assertIn("Nobody goes into the water", page.text("#cautions"))
        self.assertIn("electrician", page.text("#cautions"))
        self.picture(page, "ac-between", PHONE)
        self.assertEqual(page.complaints(), [])

    def test_the_multimeter_is_typed_in_and_everybody_can_use_it(self):
        serving = self.serve()
        page = self.open(serving)
        self.fill(page, "meter", "Me\u00dfger\u00e4t \u2116 12")
        self.fill(page, "input-mohm", "10")
        self.choose(page, "shore", "plugged")
        self.choose(page, "travel", "moved")
        axe = axe_script()
        for scheme in ("light", "dark"):
            page.look(PHONE["width"], PHONE["height"], scheme, True)
            if axe:
                page.value(f"{axe}; true")
                self.assertEqual(page.value("axe.run().then((r) => r.violations.map((v) => v.id))"), [])
        self.press(page, "#start button")
        page.wait_for("document.getElementById('typed').offsetParent")
        self.fill(page, "value", "-0.87V")
        self.press(page, "#typed button")
        page.wait_for(f"document.getElementById('point').innerText.includes({json.dumps(SECOND)})")
        if axe:
            for scheme in ("light", "dark"):
                page.look(LAPTOP["width"], LAPTOP["height"], scheme)
                self.assertEqual(page.value("axe.run().then((r) => r.violations.map((v) => v.id))"), [])
        # With the keyboard alone, and what is mistyped is told and asked for again.
        page.value("document.getElementById('value').focus()")
        for letter in "volts":
            page.key(letter, text=letter)
        page.key("Enter", text="\r")
        page.wait_for("document.getElementById('told').innerText.includes('volts')")
        self.assertEqual(len(self.shown()["points"]), 1)
        self.assertEqual(self.shown()["instrument"], "Me\u00dfger\u00e4t \u2116 12")
        # Shore power is unplugged when somebody says so, and what to beware of comes first.
        self.press(page, "[data-say=unplug]")
        page.wait_for("document.getElementById('asking').offsetParent")
        self.assertIn("Never lift, cut or bypass the protective earth", page.text("#cautions"))
        self.assertIn("unplug the whole shore cord", page.text("#said"))
        self.assertIn("unplugged, anodes connected", page.text("#asked"))
        self.assertFalse(page.value("document.getElementById('typed').offsetParent !== null"))
        for size in (PHONE, LAPTOP):
            page.look(size["width"], size["height"], "dark" if size is PHONE else "light", size["mobile"])
            self.picture(page, "asked", size)
        if axe:
            self.assertEqual(page.value("axe.run().then((r) => r.violations.map((v) => v.id))"), [])
        self.press(page, "#asking [data-say=done]")
        page.wait_for("document.getElementById('state').innerText.includes('unplugged')")
        self.assertFalse(page.value("document.querySelector('[data-say=unplug]').offsetParent !== null"))
        self.fill(page, "value", "-0.871V 400")
        self.press(page, "#typed button")
        page.wait_for("document.getElementById('heading').innerText.includes('ended')")
        self.assertIn("400 mV rms of AC", page.text("#cautions"))
        self.assertIn("call an electrician", page.text("#cautions"))
        self.assertFalse(page.value("document.getElementById('start').offsetParent !== null"))  # nobody is told to go on
        page.look(PHONE["width"], PHONE["height"], "light", True)
        self.picture(page, "ac", PHONE)
        self.press(page, "#mended")
        self.assertTrue(page.value("document.getElementById('start').offsetParent !== null"))
        self.assertEqual(page.complaints(), ["Failed to load resource: the server responded with a status of 400 "
                                             "(Bad Request)"])

    def test_who_may_only_read_sees_why_there_is_no_button(self):
        serving = self.serve()
        page = self.open(serving, key=False)
        self.assertIn("second address", page.text("#told"))
        self.assertFalse(page.value("document.getElementById('start').offsetParent !== null"))


class WhatIsAnswered(Walked):
    def stands(self, serving):
        return json.loads(serving.ask("api/walk")[2])

    def wait_for(self, serving, holds):
        """How the walk stands when that holds of it."""
        deadline = time.monotonic() + 60
        while not holds(stands := self.stands(serving)):
            self.assertLess(time.monotonic(), deadline, stands)
            time.sleep(0.05)
        return stands

    def test_a_clip_in_the_air_reads_nothing_however_still_the_number_stands(self):
        bench = Bench(self.folder, "quiet-berth.toml", "--pace", 40)
        self.addCleanup(bench.end)
        serving = self.serve("--port", bench.port)
        bench.tell("source -870 1000")
        self.wait_for(serving, lambda _: self.begin(serving, shore="unplugged", travel="moved")[0] == 200)
        self.say(serving, "")
        self.wait_for(serving, lambda stands: stands["at"] == SECOND)
        bench.tell("open")  # the input's filter holds -870 mV
        self.say(serving, "")
        told = self.wait_for(serving, lambda stands: stands["at"] != SECOND or stands["reading"]["readings"] == 0)
        self.assertEqual(told["at"], SECOND)
        bench.tell("source -860 1000")
        self.wait_for(serving, lambda stands: stands["at"] == THIRD)
        read = self.shown()["points"]
        self.assertEqual([point["point"] for point in read], [BONDING, SECOND])
        self.assertAlmostEqual(read[1]["potential_mv"], -860, delta=2)

    def test_a_walk_goes_on_after_the_program_has_been_killed(self):
        serving = self.serve()
        self.assertEqual(self.begin(serving, shore="unplugged", travel="moved", meter="DMM")[0], 200)
        self.assertEqual(self.say(serving, "-870")[0], 200)
        serving.process.kill()
        serving.process.communicate()
        again = self.serve()
        self.assertFalse(json.loads(again.ask("api/walk")[2])["walking"])
        status, _, body = self.begin(again, resume="1")
        self.assertEqual(status, 200, body)
        stands = json.loads(body)
        self.assertEqual(stands["at"], SECOND)
        self.assertEqual([point["name"] for point in stands["points"] if point["done"]], [BONDING])

    def test_too_much_ac_ends_the_walk_and_names_the_electrician(self):
        serving = self.serve()
        self.begin(serving, shore="plugged", travel="moved", meter="DMM")
        stands = json.loads(self.say(serving, "-870 400")[2])
        self.assertTrue(stands["over"])
        self.assertIn("electrician", stands["stopped"])
        self.assertTrue(any("water" in said["text"] for said in stands["talk"] if said["caution"]))
        self.assertEqual(self.say(serving, "-870")[0], 400)

    def test_reading_takes_the_first_token_and_changing_the_second(self):
        serving = self.serve()
        self.assertEqual(serving.ask("api/walk")[0], 200)
        self.assertEqual(serving.ask("api/walk/begin")[0], 405)
        self.assertEqual(serving.order("api/walk/begin?shore=plugged&travel=moved&meter=x", key=serving.token)[0], 403)
        self.assertEqual(self.say(serving, "-870", key=serving.token)[0], 403)
        self.assertFalse(self.archive.exists())

    def test_what_cannot_be_is_told_in_a_sentence_and_changes_nothing(self):
        serving = self.serve()
        for fields, says in (({"shore": "plugged", "meter": "x"}, "cell stays"), ({"travel": "moved", "meter": "x"}, "plugged"),
                             ({"shore": "plugged", "travel": "moved"}, "multimeter"), ({"resume": "1"}, "no survey"),
                             ({"shore": "up", "travel": "moved", "meter": "x"}, "unplugged"),
                             ({"shore": "plugged", "travel": "moved", "meter": "x", "input_mohm": "0"}, "megohms")):
            status, _, body = self.begin(serving, **fields)
            self.assertEqual(status, 400, body)
            self.assertIn(says, body.decode())
        self.assertEqual(self.say(serving, "-870")[0], 400)
        self.begin(serving, shore="plugged", travel="moved", meter="DMM")
        self.assertEqual(self.begin(serving, shore="plugged", travel="moved", meter="DMM")[0], 400)
        for line in (b"note a\nfinish", b"note \x1b[2J", b"note \xff\xfe", b"note " + b"x" * 1001, b"\x00", b"go nowhere",
                     b"note \xed\xa0\x80", b"nonsense"):
            self.assertEqual(self.say(serving, line)[0], 400, line)
        self.assertEqual(self.shown()["points"], [])

    def test_blanks_round_what_is_said_are_of_no_meaning(self):
        serving = self.serve()
        self.begin(serving, shore="plugged", travel="moved", meter="DMM")
        status, _, body = self.say(serving, "-870 ")
        self.assertEqual(status, 200, body)
        self.assertEqual(self.shown()["points"][0]["potential_mv"], -870)

    def test_a_bug_while_the_logger_is_heard_is_told_and_leaves_the_page_there(self):
        bench = Bench(self.folder, "quiet-berth.toml", "--pace", 40)
        self.addCleanup(bench.end)
        fault = self.folder / "fault"
        serving = self.serve("--port", bench.port, LD_PRELOAD=str(BUILD / "tests" / "made_to_fail.so"),
                             QUAYCELL_FAULT=str(fault))
        live = Socket(serving)
        self.addCleanup(live.close)
        bench.tell("source -870 1000")
        self.wait_for(serving, lambda _: self.begin(serving, shore="plugged", travel="moved")[0] == 200)
        fault.touch()
        self.assertEqual(self.say(serving, "")[0], 200)
        words = "this is a bug in the program, please report it: made to fail"
        while "There are no more readings: " + words not in live.message():
            pass
        self.assertEqual(serving.ask("api/walk")[0], 200)
        serving.process.terminate()
        _, told = serving.process.communicate(timeout=60)
        self.assertEqual(serving.process.returncode, 1, told)
        self.assertIn(words, told)

    def test_what_is_said_twice_or_late_is_done_once(self):
        serving = self.serve()
        self.begin(serving, shore="unplugged", travel="moved", meter="DMM")
        turn = json.loads(serving.ask("api/walk")[2])["turn"]
        self.assertEqual(self.say(serving, "-870", turn=turn)[0], 200)
        for line in ("-870", "skip the same", "strike the same", "go rudder stock"):
            status, _, body = self.say(serving, line, turn=turn)
            self.assertEqual(status, 409, body)
            self.assertIn("gone on", body.decode())
        self.assertEqual([(point["point"], len(self.shown()["points"])) for point in self.shown()["points"]],
                         [(BONDING, 1)])

    def test_a_finished_walk_tells_what_was_not_read(self):
        serving = self.serve()
        self.begin(serving, shore="unplugged", travel="moved", meter="DMM")
        self.say(serving, "-870")
        stands = json.loads(self.say(serving, "finish")[2])
        self.assertTrue(stands["over"])
        self.assertTrue(any("neither read nor skipped" in said["text"] for said in stands["talk"]))

    def test_hostile_words_are_kept_as_text(self):
        serving = self.serve()
        self.begin(serving, shore="plugged", travel="moved", meter="DMM")
        name = "</script><b onclick>\u202egnp.exe \u05d0"
        self.assertEqual(self.say(serving, f"add {name}")[0], 200)
        self.assertEqual(json.loads(serving.ask("api/walk")[2])["at"], name)


if __name__ == "__main__":
    unittest.main(verbosity=2)

#!/usr/bin/env python3
"""What an archive and the commands around it promise to somebody who leaves a logger aboard: notes, erasing
and arming again, a copy of the flash, a damaged file, a collection that breaks off."""
import signal
import subprocess
import time
import unittest
from programs import BUILD, EndToEnd, quaycell

CLOCK = "2026-05-04T06:00:00Z"


class Aboard(EndToEnd):
    def setUp(self):
        super().setUp()
        self.bench = self.start_bench("quiet-berth.toml")
        self.port = self.bench.port
        self.archive = self.folder / "a.quaycell"

    def deploy(self, *arguments):
        return self.document("deploy", "--port", self.port, "--interval", "10s", "--clock", CLOCK,
                             *arguments)

    def deploy_and_collect(self, length):
        self.deploy()
        self.bench.tell(f"advance {length}")
        self.done("collect", "--port", self.port, "--archive", self.archive)

    def readings(self, archive):
        return self.done("export", "--archive", archive, "--salinity", 31)


class Deploying(Aboard):
    def test_deploy_looks_at_cell_and_battery_and_waits_for_the_first_reading(self):
        result = quaycell("deploy", "--port", self.port, "--interval", "10s", "--clock", CLOCK,
                          "--for", "5d")
        self.assertEqual(result.returncode, 0, result.stderr)
        for words in ("cell and leads: -9", "settled; good", "battery: 4.6", "estimated",
                      "On return"):
            self.assertIn(words, result.stderr)
        self.assertIn("its first reading is in its memory", result.stdout)

    def test_a_deployment_that_memory_or_battery_does_not_last_for_is_refused(self):
        self.refused(1, "deploy", "--port", self.port, "--interval", "1s", "--for", "7d",
                     says=["the memory lasts for 18 h", "7 d", "--interval", "--overwrite-oldest"])
        self.refused(1, "deploy", "--port", self.port, "--interval", "1s", "--for", "300d",
                     "--overwrite-oldest", says=["batteries", "221 d", "estimated"])
        self.assertEqual(self.document("status", "--port", self.port)["state"], "idle")

    def test_status_says_since_when_it_records_and_how_full_and_charged_it_is(self):
        self.deploy()
        self.bench.tell("advance 5h")
        status = self.document("status", "--port", self.port)
        self.assertEqual(status["armed_at"][:17], CLOCK[:17])
        self.assertIsNone(status["stopped_at"])
        self.assertAlmostEqual(status["memory_used"], 5 * 360 / 65536, delta=0.003)
        self.assertEqual(status["battery_share_estimated"], 1)
        words = self.done("status", "--port", self.port)
        for part in ("recording, one reading each 10 s, since 2026-05-04T06:0", "2 % full",
                     "charged (estimated"):
            self.assertIn(part, words)

    def test_status_says_since_when_the_memory_is_full_and_what_to_do(self):
        self.done("deploy", "--port", self.port, "--interval", "1s", "--clock", CLOCK)
        self.bench.tell("advance 19h")
        words = self.done("status", "--port", self.port)
        self.assertIn("memory full, since 2026-05-0", words)
        self.assertIn("Collect it", words)


    def test_status_says_since_when_a_logger_is_idle(self):
        self.assertIn("idle, never armed", self.done("status", "--port", self.port))
        self.deploy()
        self.bench.tell("advance 1h")
        self.done("erase", "--port", self.port, "--archive", self.archive)
        self.bench.tell("advance 2h")
        self.bench.tell("cut")  # a restart writes a record behind the one that tells of the end
        status = self.document("status", "--port", self.port)
        self.assertEqual(status["state"], "idle")
        self.assertEqual(status["stopped_at"][:12], "2026-05-04T0")
        self.assertIn("idle, since 2026-05-04T0", self.done("status", "--port", self.port))


class ErasingAndArmingAgain(Aboard):
    def test_readings_that_no_archive_has_are_erased_only_when_told_twice(self):
        self.deploy()
        self.bench.tell("advance 1h")
        held = self.document("status", "--port", self.port)["records_held"]
        for told in ([], ["--discard-readings"]):
            for command in ("erase", "rearm"):
                self.refused(1, command, "--port", self.port, *told,
                             says=["earlier deployment", "--archive", "twice"])
        status = self.document("status", "--port", self.port)
        self.assertEqual(status["state"], "recording")
        self.assertGreaterEqual(status["records_held"], held)
        self.document("erase", "--port", self.port, "--discard-readings", "--discard-readings")
        status = self.document("status", "--port", self.port)
        self.assertEqual(status["state"], "idle")
        self.assertLessEqual(status["records_held"], 2)

    def test_erasing_brings_the_readings_into_the_archive_first(self):
        self.deploy()
        self.bench.tell("advance 1h")
        self.done("erase", "--port", self.port, "--archive", self.archive)
        self.assertLessEqual(self.document("status", "--port", self.port)["records_held"], 2)
        deployments = self.document("status", "--archive", self.archive)["deployments"]
        self.assertEqual(len(deployments), 1)
        self.assertGreaterEqual(deployments[0]["readings"], 359)
        # Nothing is left that could be lost: neither command asks for anything now.
        self.done("erase", "--port", self.port)
        armed = self.document("rearm", "--port", self.port, "--clock", CLOCK)
        self.assertEqual(armed["interval_s"], 10)
        self.assertTrue(armed["first_reading_seen"])

    def test_arming_again_goes_on_at_the_same_interval_and_loses_nothing(self):
        self.done("deploy", "--port", self.port, "--interval", "20s", "--clock", CLOCK,
                  "--overwrite-oldest")
        self.bench.tell("advance 1h")
        armed = self.document("rearm", "--port", self.port, "--archive", self.archive, "--clock",
                              "2026-05-04T07:10:00Z")
        self.assertEqual(armed["interval_s"], 20)
        self.bench.tell("advance 1h")
        self.done("collect", "--port", self.port, "--archive", self.archive)
        deployments = self.document("status", "--archive", self.archive)["deployments"]
        self.assertEqual([d["deployment"] for d in deployments], [1, 2])
        for deployment in deployments:
            self.assertGreaterEqual(deployment["readings"], 179)
        self.assertEqual(self.bench.close(), 0, "nothing that hardware would not have forgiven")

    def test_a_logger_that_was_never_armed_is_not_armed_again(self):
        self.refused(1, "rearm", "--port", self.port, says=["never been armed", "deploy"])


class WordsAndNumbers(Aboard):
    def test_notes_stand_beside_the_readings(self):
        self.deploy_and_collect("10min")
        before = self.readings(self.archive)
        self.done("note", "--archive", self.archive, "--time", "2026-05-04T06:05:00Z", "--author",
                  "Ann", "shore power unplugged")
        self.done("note", "--archive", self.archive, "--time", "2026-05-04T06:01:00Z", "--author",
                  "Bob", "moored")
        notes = self.document("note", "--archive", self.archive)["notes"]
        self.assertEqual([(n["time"], n["words"], n["author"]) for n in notes],
                         [("2026-05-04T06:01:00Z", "moored", "Bob"),
                          ("2026-05-04T06:05:00Z", "shore power unplugged", "Ann")])
        self.assertEqual(self.document("status", "--archive", self.archive)["notes"], notes)
        self.assertIn("note: 2026-05-04T06:01:00Z  moored",
                      self.done("status", "--archive", self.archive))
        self.assertEqual(self.readings(self.archive), before)
        self.refused(1, "note", "--archive", self.folder / "none", "x", says=["no such archive"])
        self.refused(2, "note", "--archive", self.archive, "--time", "yesterday", "x",
                     says=["yesterday"])

    def test_a_deployment_keeps_its_number_when_something_older_is_imported(self):
        self.deploy_and_collect("10min")
        old = self.folder / "old.csv"
        old.write_text("time,potential_mv\r\n2020-05-04T06:00:00Z,-990\r\n")
        self.done("import", old, "--archive", self.archive, "--scale", "sce")
        deployments = self.document("status", "--archive", self.archive)["deployments"]
        self.assertEqual([(d["deployment"], d["origin"][:8]) for d in deployments],
                         [(2, "imported"), (1, "logger 0")])
        judged = self.document("judge", "--archive", self.archive, "--hull", "steel",
                               "--deployment", 1)
        self.assertEqual(judged["readings"], deployments[1]["readings"])
        self.refused(2, "judge", "--archive", self.archive, "--hull", "steel", says=["--deployment"])

    def test_a_collection_that_broke_off_is_told_wherever_its_readings_are_shown(self):
        self.deploy()
        self.bench.tell("advance 3d")
        collecting = subprocess.Popen(
            [BUILD / "bin" / "quaycell", "collect", "--port", self.port, "--archive", self.archive],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        journal = self.folder / "a.quaycell-wal"
        while not journal.exists() or journal.stat().st_size < 300_000:
            time.sleep(0.01)
        collecting.send_signal(signal.SIGKILL)
        collecting.wait()
        left = self.document("status", "--archive", self.archive)["left_in_loggers"]
        self.assertEqual(len(left), 1)
        self.assertIn("more records when the collection broke off", left[0])
        judged = self.document("judge", "--archive", self.archive, "--hull", "steel")
        self.assertIn(left[0], judged["reasons"])
        self.done("collect", "--port", self.port, "--archive", self.archive)
        self.assertEqual(self.document("status", "--archive", self.archive)["left_in_loggers"], [])


class CopiesAndDamage(Aboard):
    def test_a_copy_of_the_flash_gives_the_same_readings_as_collecting(self):
        self.deploy_and_collect("2h")
        image, other = self.folder / "flash.bin", self.folder / "b.quaycell"
        self.bench.tell(f"save {image}")
        self.refused(1, "import", image, "--flash", "--archive", other, says=["no such archive"])
        self.done("import", image, "--flash", "--archive", self.archive)
        self.assertEqual(len(self.document("status", "--archive", self.archive)["deployments"]), 1)
        whole = self.readings(self.archive)

        # An archive that knows the logger, but has none of its readings.
        self.document("erase", "--port", self.port, "--discard-readings", "--discard-readings")
        self.done("collect", "--port", self.port, "--archive", other)
        self.done("import", image, "--flash", "--archive", other)
        self.assertEqual(self.readings(other).splitlines()[:700], whole.splitlines()[:700])

    def test_what_is_no_whole_flash_is_refused(self):
        self.deploy_and_collect("10min")
        image = self.folder / "flash.bin"
        self.bench.tell(f"save {image}")
        content = image.read_bytes()
        before = self.archive.read_bytes()
        for name, bytes_, words in (("cut.bin", content[:-1], "whole flash"),
                                    ("blank.bin", b"\xff" * 2**20, "no log"),
                                    ("text.bin", b"hello", "whole flash")):
            broken = self.folder / name
            broken.write_bytes(bytes_)
            self.refused(2, "import", broken, "--flash", "--archive", self.archive, says=[words])
        self.assertEqual(self.archive.read_bytes(), before)

    def test_the_readings_of_a_damaged_archive_are_shown_with_a_warning_and_nothing_is_added(self):
        self.deploy_and_collect("3h")
        content = bytearray(self.archive.read_bytes())
        before = self.document("judge", "--archive", self.archive, "--hull", "steel")
        # Readings, which begin with the byte of their kind, each 32 bytes behind the last.
        middle = next(at for at in range(len(content) // 3, len(content))
                      if all(content[at + 32 * i] == 0x57 for i in range(8)))
        content[middle:middle + 200] = b"\x5a" * 200
        self.archive.write_bytes(content)
        result = quaycell("judge", "--archive", self.archive, "--hull", "steel", "--json")
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("is damaged; lost: logger 00001267: ", result.stderr)
        self.assertIn("the archive is damaged", result.stdout)
        after = self.document("judge", "--archive", self.archive, "--hull", "steel")
        self.assertLess(after["readings"], before["readings"])
        self.assertGreater(after["readings"], before["readings"] - 150)
        for command in (("status",), ("export",), ("note",)):
            self.assertIn("lost", quaycell(*command, "--archive", self.archive).stderr)
        for command in (("note", "moored"), ("collect", "--port", self.port)):
            self.refused(1, *command, "--archive", self.archive,
                         says=["damaged", "copy", "collect into a new one"])
        self.assertEqual(self.archive.read_bytes(), bytes(content))
        self.done("collect", "--port", self.port, "--archive", self.folder / "new.quaycell")


if __name__ == "__main__":
    unittest.main(verbosity=2)

#!/usr/bin/env python3
"""Many loggers at once, each with its own progress and its own failure. YARD_LOGGERS says how many the
large run takes."""
import json
import os
import pty
import re
import sqlite3
import subprocess
import sys
import threading
import time
import unittest
from programs import BUILD, ROOT, SCENARIOS, Bench, EndToEnd
from running import Running

sys.path.insert(0, str(ROOT / "tests" / "faults"))
from evidence import FlashImage, Held, faults_of, lacks

LOGGERS = int(os.environ.get("YARD_LOGGERS", 32))
LINE_RECORDS_PER_S = 115200 / 10 / (235 / 7)  # PROTOCOL.md: 7 records in a frame of 235 bytes


class AYard(EndToEnd):
    def berth(self, number, length="2h"):
        """A logger of that number which has recorded for so long."""
        folder = self.folder / str(number)
        folder.mkdir()
        scenario = (SCENARIOS / "quiet-berth.toml").read_text().replace(
            "device_id = 4711", f"device_id = {number}")
        (folder / "berth.toml").write_text(scenario)
        bench = Bench(folder, folder / "berth.toml")
        self.addCleanup(bench.end)
        self.done("deploy", "--port", bench.port, "--interval", "10s")
        bench.tell(f"advance {length}")
        bench.number = number
        return bench

    def collect(self, ports, *options):
        named = [word for port in ports for word in ("--port", port)]
        return Running("collect", *named, "--archive", self.folder / "yard.quaycell", *options)

    def test_two_loggers_with_one_number_are_told_apart_whenever_they_come(self):
        first = self.berth(5)
        self.collect([first.port]).wait()
        archive = self.folder / "yard.quaycell"
        held = self.done("export", "--archive", archive)
        folder = self.folder / "other"
        folder.mkdir()
        second = Bench(folder, self.folder / "5" / "berth.toml")
        self.addCleanup(second.end)
        self.done("deploy", "--port", second.port, "--interval", "20s")
        second.tell("advance 1h")
        self.refused(1, "collect", "--port", second.port, "--archive", archive,
                     says=["another logger with the same number 00000005", "archive of its own",
                           "device_number"])
        self.refused(1, "erase", "--port", second.port, "--archive", archive, says=["another logger"])
        self.assertEqual(self.done("export", "--archive", archive), held)
        own = self.folder / "own.quaycell"
        self.done("collect", "--port", second.port, "--archive", own)
        first.tell("advance 1h")
        self.done("collect", "--port", first.port, "--archive", archive)
        self.assertGreater(len(self.done("export", "--archive", archive)), len(held))

    def test_many_loggers_are_collected_at_once_without_a_loss(self):
        benches = [self.berth(number) for number in range(1, LOGGERS + 1)]
        started = time.monotonic()
        collecting = self.collect([bench.port for bench in benches], "--json")
        self.assertEqual(collecting.wait(300), 0, collecting.said)
        took_s = time.monotonic() - started
        loggers = json.loads(collecting.stdout)["loggers"]
        self.assertEqual([logger["device"] for logger in loggers],
                         [f"{bench.number:08x}" for bench in benches])
        for bench, logger in zip(benches, loggers):
            self.assertGreaterEqual(logger["added"], 720)
            self.assertEqual(logger["added"], logger["received"])
            self.check_whole(bench)
        rate = sum(logger["added"] for logger in loggers) / took_s
        print(f"{rate:.0f} records a second from {LOGGERS} loggers in {took_s:.1f} s, of "
              f"{LOGGERS * LINE_RECORDS_PER_S:.0f} that as many lines could carry; "
              f"{collecting.cpu_s:.2f} s of processor, {collecting.memory_mb:.1f} MB")

    def check_whole(self, bench):
        file = bench.port.parent / "flash"
        bench.tell(f"save {file}")
        image, held = FlashImage(file), held_of(self.folder / "yard.quaycell", bench.number)
        self.assertEqual(faults_of(held, image), [])
        self.assertEqual(lacks(held, image, held.collected_to), [])

    def test_one_that_fails_does_not_keep_the_others_back(self):
        good, missing = self.berth(1), self.folder / "not-there"
        collecting = self.collect([good.port, missing], "--json")
        self.assertEqual(collecting.wait(), 1)
        first, second = json.loads(collecting.stdout)["loggers"]
        self.assertGreaterEqual(first["added"], 720)
        self.assertIn("there is no such port", second["error"])
        self.assertIn(f"1 of 2 loggers were not collected to the end: {missing}",
                      collecting.said[-1][1])

    def test_two_loggers_of_one_number_are_not_mixed(self):
        first = self.berth(5)
        (self.folder / "twin").mkdir()
        scenario = self.folder / "5" / "berth.toml"
        twin = Bench(self.folder / "twin", scenario)
        self.addCleanup(twin.end)
        collecting = self.collect([first.port, twin.port])
        self.assertEqual(collecting.wait(), 1)
        self.assertIn("the same number 00000005", "\n".join(line for _, line in collecting.said))

    def test_live_shows_each_logger_by_its_number(self):
        benches = [self.berth(number, "1min") for number in (1, 2)]
        shown = self.done("live", "--port", benches[0].port, "--port", benches[1].port, "--hull",
                          "steel", "--count", 3, "--json")
        devices = sorted(json.loads(line)["device"] for line in shown.splitlines())
        self.assertEqual(devices, ["00000001"] * 3 + ["00000002"] * 3)

    def test_on_a_terminal_each_logger_has_its_line(self):
        benches = [self.berth(number) for number in (1, 2)]
        near, far = pty.openpty()
        shown = bytearray()

        def watch():
            try:
                while piece := os.read(near, 4096):
                    shown.extend(piece)
            except OSError:
                pass  # the program has closed its end

        watching = threading.Thread(target=watch)
        watching.start()
        ended = subprocess.run([BUILD / "bin" / "quaycell", "collect", "--port", benches[0].port,
                                "--port", benches[1].port, "--archive", self.folder / "a.quaycell"],
                               stdout=subprocess.DEVNULL, stderr=far, timeout=60)
        os.close(far)
        watching.join()
        os.close(near)
        self.assertEqual(ended.returncode, 0)
        for bench in benches:
            self.assertRegex(shown.decode(), re.escape(str(bench.port)) + r": 7\d\d of 7\d\d records")


def held_of(file, device):
    """What the archive holds of one of its loggers."""
    held = Held(file.parent / "nothing yet")
    with sqlite3.connect(f"file:{file}?mode=ro", uri=True) as archive:
        for block in archive.execute("SELECT first_sequence, count, records FROM block "
                                     "WHERE device = ?", (device,)):
            held.take(*block)
        held.collected_to, = archive.execute("SELECT max(next_sequence) FROM collection "
                                             "WHERE device = ?", (device,)).fetchone()
    archive.close()
    return held


if __name__ == "__main__":
    unittest.main(verbosity=2)

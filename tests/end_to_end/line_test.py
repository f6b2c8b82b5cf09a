#!/usr/bin/env python3
"""A bad cable: what is unplugged, restarted, interrupted or far away is collected all the same."""
import json
import os
import select
import signal
import socket
import sys
import threading
import time
import tty
import unittest
from programs import ROOT, EndToEnd
from running import Running

sys.path.insert(0, str(ROOT / "tests" / "faults"))
from evidence import FlashImage, Held, faults_of, lacks
from line import Line  # the cable that can be pulled out

HALF_A_DAY = 12 * 360  # readings at one each 10 s
MIDDLE = 70_000  # bytes of some 147 000 that half a day takes on the line


class BadCable(EndToEnd):
    def setUp(self):
        super().setUp()
        self.bench = self.start_bench("quiet-berth.toml")
        self.done("deploy", "--port", self.bench.port, "--interval", "10s")
        self.bench.tell("advance 12h")
        self.port = self.folder / "cable"
        self.archive = self.folder / "a.quaycell"

    def collect(self, *options, port=None):
        return Running("collect", "--port", port or self.port, "--archive", self.archive, "--json",
                       *options)

    def check_whole(self, at_least=HALF_A_DAY):
        """The archive holds what is in the flash, byte for byte, each record once."""
        self.bench.tell(f"save {self.folder / 'flash'}")
        image, held = FlashImage(self.folder / "flash"), Held(self.archive)
        self.assertEqual(faults_of(held, image), [])
        self.assertEqual(lacks(held, image, held.collected_to), [])
        self.assertGreater(len(held.records), at_least)

    def test_an_unplugged_logger_is_waited_for_and_gone_on_with(self):
        gone = []
        away_s = 1.5

        def pull_out(line):
            gone.append(time.monotonic())
            line.unplug(away_s)

        line = Line(self.bench.port, self.port, events=[(MIDDLE, pull_out)])
        collecting = self.collect()
        self.assertTrue(line.carry(collecting, 60))
        self.assertEqual(collecting.poll(), 0, collecting.said)
        (noticed, _), = collecting.lines_with("unplugged. Waiting")
        (back, _), = collecting.lines_with("is back")
        self.assertLess(noticed - gone[0], 2)
        self.assertLess(back - gone[0] - away_s, 2)
        self.assertEqual(len(collecting.said), 2, "two lines for one loss")
        self.check_whole()
        print(f"noticed after {noticed - gone[0]:.2f} s, "
              f"picked up {back - gone[0] - away_s:.2f} s after its return")

    def test_a_logger_that_restarts_meanwhile_is_collected_to_the_end(self):
        line = Line(self.bench.port, self.port,
                    events=[(MIDDLE, lambda _: self.bench.tell("cut"))])
        collecting = self.collect()
        self.assertTrue(line.carry(collecting, 60))
        self.assertEqual(collecting.poll(), 0, collecting.said)
        self.check_whole()

    def test_a_logger_that_stays_away_is_given_up_and_the_next_time_completes_it(self):
        line = Line(self.bench.port, self.port, events=[(MIDDLE, Line.unplug)])
        collecting = self.collect("--give-up-after", "1s")
        self.assertTrue(line.carry(collecting, 60))
        self.assertEqual(collecting.poll(), 1)
        self.assertEqual(collecting.stdout, "")
        self.assertIn("what has arrived is kept", collecting.said[-1][1])
        again = self.collect(port=self.bench.port)
        self.assertEqual(again.wait(), 0, again.said)
        self.assertLess(json.loads(again.stdout)["added"], HALF_A_DAY - 1000, "the rest only")
        self.check_whole()

    def test_waiting_for_a_logger_costs_next_to_nothing(self):
        line = Line(self.bench.port, self.port, events=[(5000, Line.unplug)])
        waiting_s = 8
        collecting = self.collect("--give-up-after", f"{waiting_s}s")
        self.assertTrue(line.carry(collecting, 60))
        self.assertEqual(collecting.poll(), 1)
        self.assertLess(len(collecting.said), 3, "no flood of messages")
        print(f"{collecting.cpu_s:.3f} s of processor for {waiting_s} s, all in all")
        if not os.environ.get("QUAYCELL_SANITIZE"):  # sanitizers make the start dearer than the waiting
            self.assertLess(collecting.cpu_s, 0.01 * waiting_s)

    def test_an_interrupted_collection_says_how_to_go_on(self):
        collecting = None
        line = Line(self.bench.port, self.port,
                    events=[(MIDDLE, lambda _: collecting.process.send_signal(signal.SIGINT))])
        collecting = self.collect()
        self.assertTrue(line.carry(collecting, 60))
        self.assertEqual(collecting.poll(), 1)
        self.assertIn("the same command goes on from there", collecting.said[-1][1])
        self.assertEqual([file.name for file in self.folder.glob("a.quaycell*")], ["a.quaycell"],
                         "nothing lies about beside the archive")
        again = self.collect(port=self.bench.port)
        self.assertEqual(again.wait(), 0, again.said)
        self.assertLess(json.loads(again.stdout)["added"], HALF_A_DAY - 1000, "the rest only")
        self.check_whole()

    def test_whoever_waits_can_be_interrupted(self):
        collecting = None

        def pull_out_and_interrupt(line):
            line.unplug()
            threading.Timer(1, collecting.process.send_signal, [signal.SIGINT]).start()

        line = Line(self.bench.port, self.port, events=[(MIDDLE, pull_out_and_interrupt)])
        collecting = self.collect("--give-up-after", "1h")
        self.assertTrue(line.carry(collecting, 30))
        self.assertEqual(collecting.poll(), 1)
        self.assertIn("interrupted while waiting", collecting.said[-1][1])

    def test_live_goes_on_after_an_unplug(self):
        line = Line(self.bench.port, self.port,
                    events=[(400, lambda cable: cable.unplug(0.5))])
        watching = Running("live", "--port", self.port, "--hull", "steel", "--count", 12, "--json")
        self.assertTrue(line.carry(watching, 60))
        self.assertEqual(watching.poll(), 0, watching.said)
        self.assertEqual(len(watching.stdout.splitlines()), 12)
        self.assertEqual(len(watching.lines_with("is back")), 1, watching.said)

    def test_a_bridge_that_hangs_up_once_is_no_trouble(self):
        listener = socket.create_server(("127.0.0.1", 0))
        self.addCleanup(listener.close)

        def serve_twice():
            for most in (MIDDLE, None):
                connection, _ = listener.accept()
                bridge(connection, self.bench.port, most)

        bridging = threading.Thread(target=serve_twice)
        bridging.start()
        collecting = self.collect(port=f"tcp://127.0.0.1:{listener.getsockname()[1]}")
        self.assertEqual(collecting.wait(), 0, collecting.said)
        bridging.join()
        self.assertEqual(len(collecting.lines_with("the bridge hung up. Waiting")), 1)
        self.assertEqual(json.loads(collecting.stdout)["baud"], 115200, "a bridge keeps its speed")
        self.check_whole()

    @unittest.skipIf(os.environ.get("QUAYCELL_SANITIZE"),
                     "a sanitizer's own memory counts, too, and its week takes ten minutes")
    def test_a_full_log_is_collected_at_the_fastest_speed_in_little_memory(self):
        self.bench.tell("advance 8d")
        collecting = self.collect(port=self.bench.port)
        self.assertEqual(collecting.wait(), 0, collecting.said)
        self.check_whole(at_least=65_000)
        report = json.loads(collecting.stdout)
        self.assertEqual(report["baud"], 921600)
        print(f"{report['added']} records with {collecting.memory_mb:.1f} MB")
        self.assertLess(collecting.memory_mb, 32)


def bridge(connection, logger_port, most):
    """Carries bytes between a host's connection and the logger until the host hangs up, or hangs up
    itself after so many of the logger's."""
    logger = os.open(os.path.realpath(logger_port), os.O_RDWR | os.O_NOCTTY)
    tty.setraw(logger)
    carried = 0
    with connection:
        while most is None or carried < most:
            readable, _, _ = select.select([connection, logger], [], [])
            if connection in readable:
                piece = connection.recv(4096)
                if not piece:
                    break
                os.write(logger, piece)
            if logger in readable:
                piece = os.read(logger, 4096)
                carried += len(piece)
                connection.sendall(piece)
    os.close(logger)


if __name__ == "__main__":
    unittest.main(verbosity=2)

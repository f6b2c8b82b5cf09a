#!/usr/bin/env python3
"""The real firmware on memories that are worn, full, near the end of the numbers or unknown, and what
the host tells of them. Full ones begin with a prepared copy of the flash."""
import binascii
import struct
import unittest

from programs import SCENARIOS, EndToEnd

SLOTS, RECORD, SECTORS = 128, 32, 512
DEVICE = 4711
HEADER, READING = 0x51, 0x57
RECORDING, OVERWRITE_OLDEST = 0x01, 0x02


def sealed(head, body):
    record = head + body
    assert len(record) == RECORD - 2
    return record + struct.pack("<H", binascii.crc_hqx(record, 0xFFFF))


def full_memory(newest, state):
    """A log of two megabytes up to the middle of the sector numbered `newest`; each reading tells its number."""
    oldest = newest - (SECTORS - 2)
    image = bytearray(b"\xff" * (SECTORS * SLOTS * RECORD))
    for sector in range(oldest, newest + 1):
        for slot in range(SLOTS // 2 if sector == newest else SLOTS):
            number = (sector * SLOTS + slot) % 2**32
            head = struct.pack("<BBHII", HEADER if slot == 0 else READING, 0, 1, number, (number - oldest) % 2**32)
            if slot == 0:
                body = struct.pack("<IIIHBBBB", oldest * SLOTS % 2**32, 3, DEVICE, 1, 1, state, 0, 0)
            else:
                body = struct.pack("<HhhHHHHhBB", 0, 14400, -32768, 65535, 65535, 9000, 11000, 72, 255, 255)
            place = number % (SECTORS * SLOTS) * RECORD
            image[place:place + RECORD] = sealed(head, body)
    return bytes(image)


class Memories(EndToEnd):
    def bench(self, more="", logger="", image=None):
        scenario = self.folder / "sea.toml"
        text = (SCENARIOS / "quiet-berth.toml").read_text()
        scenario.write_text(text.replace("[logger]", "[logger]\n" + logger) + more)
        options = []
        if image is not None:
            (self.folder / "flash.bin").write_bytes(image)
            options = ["--flash-image", self.folder / "flash.bin"]
        return self.start_bench(scenario, *options)

    def worn(self, *sectors):
        return "".join(f'\n[[worn_sector]]\nsector = {sector}\nwhat = "{what}"\n' for sector, what in sectors)

    def collect(self, bench):
        return self.document("collect", "--port", bench.port, "--archive", self.folder / "a.quaycell")

    def test_a_fresh_log_passes_over_worn_sectors(self):
        bench = self.bench(self.worn((0, "program"), (2, "program"), (3, "program"), (5, "program")))
        self.document("deploy", "--port", bench.port, "--interval", "1s")
        bench.tell("advance 20min")
        collected = self.collect(bench)
        self.assertEqual((collected["gaps"], collected["bad"]), ([], 0))
        # Sector 0 is before the deployment, which has a sector of its own.
        self.assertEqual(collected["worn_sectors"], 3)
        status = self.document("status", "--port", bench.port)
        self.assertEqual(status["worn_sectors"], 3)
        self.assertEqual(status["faults"], [])
        self.assertIn("memory: 3 worn sectors passed over; nothing is lost there",
                      self.done("status", "--port", bench.port))
        self.assertGreaterEqual(collected["added"], 1195)
        again = self.collect(bench)
        self.assertEqual((again["gaps"], again["bad"], again["worn_sectors"]), ([], 0, 3))
        self.assertEqual(bench.close(), 0)

    def test_a_full_ring_goes_on_past_its_worn_ends_and_the_end_of_the_numbers(self):
        newest = 2**25 - 3  # in place 509
        bench = self.bench(self.worn((511, "erase"), (0, "program")),
                           image=full_memory(newest, RECORDING | OVERWRITE_OLDEST))
        bench.tell("advance 9min")
        status = self.document("status", "--port", bench.port)
        self.assertEqual((status["state"], status["faults"]), ("recording", []))
        self.assertEqual(status["worn_sectors"], 2)
        self.assertGreater(status["records_held"], (SECTORS - 3) * SLOTS)
        bench.tell("cut")
        bench.tell("advance 10s")
        collected = self.collect(bench)
        self.assertEqual((collected["gaps"], collected["worn_sectors"]), ([], 2))
        self.assertEqual(collected["bad"], 0)
        # All but the two that are worn, and the void slots of two restarts.
        self.assertGreaterEqual(collected["added"], status["records_held"] - 2 * SLOTS - 2 - SLOTS)
        self.assertEqual(bench.close(), 0)

    def full(self, *worn):
        bench = self.bench(self.worn(*worn), image=full_memory(SECTORS - 2, RECORDING))
        bench.tell("advance 5min")
        status = self.document("status", "--port", bench.port)
        self.assertEqual((status["state"], status["records_free"], status["faults"]), ("memory full", 0, []))
        bench.tell("cut")
        bench.tell("advance 10s")
        again = self.document("status", "--port", bench.port)
        self.assertEqual((again["state"], again["records_held"]), ("memory full", status["records_held"]))
        collected = self.collect(bench)
        self.assertEqual((collected["gaps"], collected["bad"]), ([], 0))
        self.assertEqual(bench.close(), 0)
        return status["records_held"]

    def test_a_memory_that_must_not_be_lost_fills_up_and_stops(self):
        self.assertEqual(self.full(), SECTORS * SLOTS)

    def test_and_stops_a_sector_before_when_the_last_one_is_worn(self):
        self.assertEqual(self.full((511, "program")), (SECTORS - 1) * SLOTS)

    def test_a_memory_with_an_unknown_id_is_named_and_the_rest_goes_on(self):
        bench = self.bench(logger="flash_id_capacity = 25")
        bench.tell("advance 3s")
        status = self.document("status", "--port", bench.port)
        self.assertIn("the memory does not answer: nothing is recorded", status["faults"])
        self.assertIn("the memory has the id EF 40 19, which is none of 2 to 16 MB: put in one of those",
                      status["faults"])
        self.assertGreater(status["battery_mv"], 4000)
        self.assertIsNotNone(status["clock"])
        self.refused(1, "deploy", "--port", bench.port, "--interval", "1s", says=["memory"])
        live = self.done("live", "--port", bench.port, "--hull", "steel", "--count", 3)
        self.assertIn("mV on agcl/seawater", live)
        self.assertEqual(bench.close(), 0)


if __name__ == "__main__":
    unittest.main()

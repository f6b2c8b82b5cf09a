#!/usr/bin/env python3
"""The fault runner has to bite: what must not be in an archive is put there, and it must say so."""
import binascii
import copy
import shutil
import sqlite3
import tempfile
import unittest
from pathlib import Path

from cases import ByRate, Case, held_speed, parse_case
from collecting import Collecting, make_log
from evidence import FlashImage, Held, faults_of, is_record

SLOT_BLOCK = 0x91
HEAD, RECORD = 4, 32  # of a SlotBlock: the first number, then seven records


def unstuffed(data):
    content, at = bytearray(), 0
    while at < len(data):
        code = data[at]
        content += data[at + 1:at + code]
        at += code
        if at < len(data):
            content.append(0)
    return content


def stuffed(content):
    return b"".join(bytes([len(part) + 1]) + part for part in bytes(content).split(b"\0"))


def frame(content):
    block = stuffed(content)
    crc = binascii.crc_hqx(block, 0xFFFF)
    return block + bytes([0x80 | crc & 0x7F, 0x80 | crc >> 7 & 0x7F, 0x80 | crc >> 14]) + b"\0"


class Forger:
    """On the way to the host, changes a byte in one record of each block of records and makes every
    checksum right again: what a host that checks none would take from a bad line."""

    def __init__(self):
        self.waiting = bytearray()

    def __call__(self, piece):
        self.waiting += piece
        *frames, self.waiting = bytes(self.waiting).split(b"\0")
        self.waiting = bytearray(self.waiting)
        return b"".join(self.forged(data) if data else b"\0" for data in frames)

    def forged(self, data):
        content = unstuffed(data[:-3])
        if content[0] != SLOT_BLOCK:
            return data + b"\0"
        record = content[2 + HEAD:2 + HEAD + RECORD]
        if not is_record(record):
            return data + b"\0"
        record[14] ^= 0x01
        record[-2:] = binascii.crc_hqx(record[:-2], 0xFFFF).to_bytes(2, "little")
        content[2 + HEAD:2 + HEAD + RECORD] = record
        return frame(content)


class ForgedLine(Collecting):
    def what_happens(self):
        return {"damage": {"to_host": Forger()}}


class GoodLine(Collecting):
    """Keeps what the archive and the flash were in the end."""

    def __init__(self, case, image_file, kept):
        super().__init__(case, image_file)
        self.kept = kept

    def what_happens(self):
        return {}

    def collect_whole(self, first):
        super().collect_whole(first)
        shutil.copyfile(self.archive, self.kept / "archive")
        shutil.copyfile(self.folder / "flash", self.kept / "flash")


class TheRunnerBites(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        folder = tempfile.TemporaryDirectory()
        cls.addClassCleanup(folder.cleanup)
        cls.folder = Path(folder.name)
        cls.log = cls.folder / "log"
        make_log(cls.log)
        cls.outcome = GoodLine(Case("stall", 0), cls.log, cls.folder).run()
        cls.image = FlashImage(cls.folder / "flash")

    def tampered(self, statement):
        file = self.folder / "tampered"
        shutil.copyfile(self.folder / "archive", file)
        with sqlite3.connect(file) as archive:
            changed = archive.execute(statement).rowcount
        archive.close()
        self.assertGreater(changed, 0)
        return faults_of(Held(file), self.image)

    def test_a_good_line_gives_the_whole(self):
        self.assertEqual(self.outcome.faults, [])
        self.assertTrue(self.outcome.finished)
        self.assertGreater(self.outcome.held, 1200)
        self.assertEqual(self.outcome.baud, 921600)

    def that_ends_well(self, case):
        """On a slow machine noise may last longer than the host's patience does: then once more."""
        for _ in range(3):
            outcome = Collecting(case, self.log).run()
            if outcome.finished:
                break
        return outcome

    def test_noise_above_a_speed_brings_the_line_down_to_it(self):
        speeds = {}
        for seed in range(1, 5):
            case = Case("noise", seed, 1e-1)
            speeds[held_speed(case)] = self.that_ends_well(case).baud
        self.assertGreater(len(speeds), 1)
        self.assertEqual(list(speeds), list(speeds.values()))

    def test_records_forged_with_right_checksums_are_found(self):
        outcome = ForgedLine(Case("flip", 1, 1e-5), self.log).run()
        self.assertIn("other bytes than the flash", " ".join(outcome.faults))

    def test_a_record_held_twice_is_found(self):
        faults = self.tampered("INSERT INTO block (device, boot, first_sequence, count, records) "
                               "SELECT device, boot + 1, first_sequence, count, records "
                               "FROM block LIMIT 1")
        self.assertIn("held twice", " ".join(faults))

    def test_a_hole_before_the_newest_is_found(self):
        faults = self.tampered("DELETE FROM block WHERE first_sequence IN (SELECT first_sequence FROM block "
                               "ORDER BY first_sequence LIMIT 1 OFFSET 3)")
        self.assertIn("is missing before", " ".join(faults))

    def test_a_record_that_the_flash_never_had_is_found(self):
        image = copy.deepcopy(self.image)
        del image.records[max(image.records)]
        faults = faults_of(Held(self.folder / "archive"), image)
        self.assertIn("not in the flash", " ".join(faults))


class TheSameLineGivesTheSameFaults(unittest.TestCase):
    def test_a_case_is_written_and_read_back(self):
        for line in ("kind=flip rate=0.0001 seed=17", "kind=unplug seed=3"):
            self.assertEqual(str(parse_case(line)), line)
        for line in ("kind=rain seed=1", "seed=1", "kind=flip rate=1e-4", "kind=kill seed=1 loud=1"):
            self.assertRaises(ValueError, parse_case, line)

    def test_damage_does_not_depend_on_how_the_bytes_are_cut(self):
        stream = bytes(range(256)) * 200
        for kind in ("flip", "drop", "double"):
            case = Case(kind, 5, 1e-3)
            whole, pieces = ByRate(case, "to_host"), ByRate(case, "to_host")
            at_once = whole(stream)
            in_pieces = b"".join(pieces(stream[at:at + 7]) for at in range(0, len(stream), 7))
            self.assertEqual(at_once, in_pieces, kind)
            self.assertNotEqual(at_once, stream, kind)

    def test_damage_comes_at_its_rate(self):
        flipped = ByRate(Case("flip", 5, 1e-3), "to_host")(bytes(200_000))
        count = sum(byte.bit_count() for byte in flipped)
        self.assertAlmostEqual(count, 1600, delta=5 * 40)  # five standard deviations of a Poisson count


if __name__ == "__main__":
    unittest.main(verbosity=2)

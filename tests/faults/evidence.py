"""What the archive holds, held against the logger's flash. Both are read here without the program's own
code: the archive with SQLite, the flash with another implementation of the checksum."""
import binascii
import sqlite3
import struct
from pathlib import Path

RECORD = 32
SECTOR_HEADER, READING = 0x51, 0x57


def is_record(data):
    """FORMAT.md: a known kind, and the CRC-16/CCITT-FALSE of all before the last two bytes."""
    return (SECTOR_HEADER <= data[0] <= READING and
            binascii.crc_hqx(data[:-2], 0xFFFF) == int.from_bytes(data[-2:], "little"))


def sequence_of(data):
    return struct.unpack_from("<I", data, 4)[0]


class FlashImage:
    """The records that count, by their number."""

    def __init__(self, file):
        image = Path(file).read_bytes()
        slots = (image[at:at + RECORD] for at in range(0, len(image), RECORD))
        self.records = {sequence_of(slot): slot for slot in slots if is_record(slot)}
        headers = [slot for slot in self.records.values() if slot[0] == SECTOR_HEADER]
        newest = max(headers, key=sequence_of)
        self.tail = struct.unpack_from("<I", newest, 12)[0]
        self.records = {number: slot for number, slot in self.records.items() if number >= self.tail}
        self.next = max(self.records) + 1


class Held:
    """The records of an archive, which may not be there yet; of one logger where it is named."""

    def __init__(self, file, device=None):
        self.records = {}
        self.faults = []
        self.collected_to = 0  # as the last finished collection has noted it
        if not Path(file).exists():
            return
        with sqlite3.connect(f"file:{file}?mode=ro", uri=True) as archive:
            if archive.execute("PRAGMA integrity_check").fetchone() != ("ok",):
                self.faults.append("the archive's file is damaged")
            tables = {name for name, in archive.execute("SELECT name FROM sqlite_master")}
            if "block" not in tables:
                return  # killed before it was an archive
            of_logger = "WHERE ?1 IS NULL OR device = ?1"
            for block in archive.execute(
                    f"SELECT first_sequence, count, records FROM block {of_logger}", (device,)):
                self.take(*block)
            row = archive.execute(f"SELECT max(next_sequence) FROM collection {of_logger}",
                                  (device,)).fetchone()
            self.collected_to = row[0] or 0
        archive.close()

    def take(self, first, count, data):
        if len(data) != count * RECORD:
            self.faults.append(f"block {first} has {len(data)} bytes for {count} records")
        for at in range(0, len(data), RECORD):
            record, number = data[at:at + RECORD], first + at // RECORD
            if not is_record(record) or sequence_of(record) != number:
                self.faults.append(f"number {number} is not a record of that number")
            if number in self.records:
                self.faults.append(f"number {number} is held twice")
            self.records[number] = record


def faults_of(held, image):
    """What must never be, however the collection ended: wrong, invented or doubled records, or one with
    an earlier one missing. An empty list when the archive is a correct prefix or the whole."""
    faults = list(held.faults)
    for number, record in sorted(held.records.items()):
        if number not in image.records:
            faults.append(f"number {number} is held and not in the flash")
        elif image.records[number] != record:
            faults.append(f"number {number} is held with other bytes than the flash has")
    if held.records:
        newest = max(held.records)
        missing = [number for number in image.records if number < newest and number not in held.records]
        faults += [f"number {number} is missing before number {newest}" for number in missing[:3]]
    return faults


def lacks(held, image, until):
    """The numbers before `until` that the flash has and the archive lacks."""
    return sorted(number for number in image.records if number < until and number not in held.records)

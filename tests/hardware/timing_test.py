"""hardware-notes/timing.csv is when the real firmware does what in a reading."""
import csv
import io
import os
import subprocess
import unittest
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
BUILD = Path(os.environ.get("QUAYCELL_BUILD", ROOT / "build"))


def rows(text):
    return [(row["step"], int(row["from_ms"]), int(row["to_ms"])) for row in csv.DictReader(io.StringIO(text))]


class Timing(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.now = rows(subprocess.run([BUILD / "tests" / "hardware_timing"], check=True, capture_output=True,
                                      text=True).stdout)

    def test_the_table_in_the_notes_is_what_the_firmware_does_now(self):
        held = rows((ROOT / "hardware-notes" / "timing.csv").read_text(encoding="utf-8"))
        for (step, *times), (step_now, *times_now) in zip(held, self.now, strict=True):
            self.assertEqual(step, step_now)
            for time, now in zip(times, times_now):
                self.assertAlmostEqual(time, now, delta=3, msg=f"{step}: run hardware-notes/regenerate")

    def test_a_reading_goes_from_dc_over_ac_to_the_stimulus_and_then_rests(self):
        # Eight conversions of 125 ms; two bursts of 200 samples at 993 Hz; two of 400 at 1002 Hz; a second.
        lengths = (500, 500, 403, 799, None, 1000)
        end = 0
        for (step, start, stop), length in zip(self.now, lengths, strict=True):
            with self.subTest(step):
                if length:
                    self.assertAlmostEqual(stop - start, length, delta=0.02 * length)
                    self.assertLess(start - end, 20)
                    end = stop


if __name__ == "__main__":
    unittest.main()

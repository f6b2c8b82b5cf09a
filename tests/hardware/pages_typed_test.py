#!/usr/bin/env python3
"""What the pages tell to type, and what they say is printed then, held against the real programs."""
import re
import sys
import unittest
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "end_to_end"))
from programs import SCENARIOS, EndToEnd, quaycell  # noqa: E402

PAGE = (ROOT / "hardware-notes" / "build.md").read_text(encoding="utf-8")
CELLS = (ROOT / "hardware-notes" / "cell.md").read_text(encoding="utf-8")


def printed(name):
    """The lines of a block of the page."""
    return re.search(rf"<!-- printed: {name} -->\n```\n(.*?)\n```", PAGE, re.DOTALL)[1].splitlines()


def alike(line):
    """A line without what differs from day to day and build to build."""
    line = re.sub(r"firmware ([\d.]+) \([0-9a-f]+\)", r"firmware \1 (BUILD)", line)
    line = re.sub(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", "TIME", line)
    line = re.sub(r"(water|battery:?) +[\d.]+", r"\1 N", line)
    line = re.sub(r"to \S+\.quaycell", "to FILE", line)
    return re.sub(r"-?\b\d\.\d mV", "N mV", re.sub(r" +", " ", line)).strip()


class FirstPowerUp(EndToEnd):
    def new_logger(self):
        scenario = self.folder / "new.toml"
        berth = (SCENARIOS / "quiet-berth.toml").read_text()
        for known, new in (("calibrated = true", "calibrated = false"), ("clock_set = true", "clock_set = false"),
                           ("device_id = 4711", "device_id = 1")):
            self.assertIn(known, berth)
            berth = berth.replace(known, new)
        scenario.write_text(berth)
        bench = self.start_bench(scenario, "--pace", 80)
        bench.tell("open")
        return bench

    def assert_printed(self, name, said):
        there = [alike(line) for line in said.splitlines()]
        for line in printed(name):
            self.assertTrue(any(alike(line) in found for found in there), f"{line}\nis not printed:\n{said}")

    def live(self, bench, count=8):
        return self.done("live", "--port", bench.port, "--hull", "steel", "--count", count)

    def test_a_new_logger_prints_what_the_page_says(self):
        bench = self.new_logger()
        self.assert_printed("new", self.done("status", "--port", bench.port))
        for words in re.findall(r"`(lead-not-good|the lead of the cell[^`]*)`", PAGE):
            self.assertIn(" ".join(words.split()), self.live(bench))
        bench.tell("source 0")
        self.assert_printed("short", self.live(bench).splitlines()[-1])
        for ohm in (10e3, 100e3):
            bench.tell(f"source 0 {ohm:.0f}")
            self.live(bench)
            told = re.search(r"cell and leads: good, (\d+) kohm", self.done("status", "--port", bench.port))
            self.assertIn("`cell and leads: good`", PAGE)
            self.assertAlmostEqual(float(told[1]) * 1000, ohm, delta=ohm / 4)
        bench.tell("source 0 1000000")
        self.assertIn("lead-not-good", self.live(bench).splitlines()[-1])
        bench.tell("source -1500")
        self.assertRegex(self.live(bench).splitlines()[-1], r"Z +-150[0-3]\.\d mV on agcl/open|Z +-149[7-9]\.\d mV")
        bench.tell("source 1500")
        self.assertRegex(self.live(bench).splitlines()[-1], r"Z +10\d\d\.\d mV on agcl/open")
        bench.tell("source -1500")
        self.assert_printed("deployed", self.done("deploy", "--port", bench.port, "--interval", "10s"))
        bench.tell("advance 10min")
        archive = self.folder / "bench.quaycell"
        collected = self.done("collect", "--port", bench.port, "--archive", archive)
        records = [int(re.search(r"(\d+) records added", text)[1]) for text in (collected, printed("collected")[0])]
        self.assertAlmostEqual(*records, delta=3)
        self.done("erase", "--port", bench.port, "--archive", archive)

    def test_faults_are_worded_as_the_page_says(self):
        bench = self.new_logger()
        for part, words in (("flash", "memory"), ("converter", "converter"), ("clock", "clock chip")):
            bench.tell(f"{part} absent")
            bench.tell("advance 20s")
            self.assertIn(f"the {words} does not answer ...", PAGE)
            self.assertIn(f"the {words} does not answer", self.done("status", "--port", bench.port))

    def test_a_line_that_is_not_printed_is_found(self):
        for line in ("state: recording", "fault: it is not calibrated at all"):
            self.assertNotIn(alike(line), [alike(each) for each in printed("new")])
        with self.assertRaises(AssertionError):
            self.assert_printed("new", "logger 00000002, firmware 0.1 (00000000)\n")


class Commands(unittest.TestCase):
    """What the pages tell to type is there to be typed."""

    def unknown(self, text):
        found = []
        for command, rest in re.findall(r"\bquaycell ([a-z-]+)((?: [^`\n]*)?)", text):
            told = quaycell(command, "--help")
            found += [command] if told.returncode else [
                f"{command} {option}" for option in re.findall(r"(?<![\w-])--[a-z][a-z0-9-]+", rest)
                if not re.search(rf"{option}(?![\w-])", told.stdout)]
        return found

    def test_every_command_and_option_of_the_pages_exists(self):
        for page in sorted((ROOT / "hardware-notes").glob("*.md")):
            typed = re.findall(r"`(quaycell [^`]*)`|^(quaycell [a-z-]+ .*)$", page.read_text(encoding="utf-8"), re.MULTILINE)
            self.assertEqual(self.unknown("\n".join(" ".join((a or b).split()) for a, b in typed)), [], page.name)

    def test_one_that_does_not_is_found(self):
        self.assertEqual(self.unknown("quaycell judge --hull steel"), [])
        self.assertEqual(self.unknown("quaycell fly"), ["fly"])
        self.assertEqual(self.unknown("quaycell judge --colour red --hull steel"), ["judge --colour"])


class Water(unittest.TestCase):
    def test_what_the_water_does_to_a_bare_cell_is_what_the_program_corrects(self):
        table = re.findall(r"^\| (?:S = (\d+)|fresh, (\d+) mg/l chloride) \| (\d+) mV \|$", CELLS, re.MULTILINE)
        self.assertEqual(len(table), 4)
        for salinity, chloride, told_mv in table:
            water = ("--salinity", salinity) if salinity else ("--chloride", chloride)
            said = quaycell("convert", "0", "--from", "agcl/open", "--to", "agcl/seawater", "--temperature", "15", *water)
            self.assertEqual(said.returncode, 0, said.stderr)
            self.assertIn("`quaycell convert 0 --from agcl/open --to agcl/seawater --temperature 15`", CELLS)
            self.assertEqual(round(float(re.search(r"is ([\d.]+) mV", said.stdout)[1])), int(told_mv))


if __name__ == "__main__":
    unittest.main(verbosity=2)

#!/usr/bin/env python3
"""The hardware notes held against what they speak of: links lead somewhere, computed tables are as
computed, pins and steps are those of the program. Each check is also shown something that is wrong."""
import re
import shutil
import sys
import tempfile
import unittest
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
NOTES = ROOT / "hardware-notes"
sys.dont_write_bytecode = True
sys.path[:0] = [str(NOTES / "tables"), str(NOTES / "circuit")]
import calibration  # noqa: E402
import error_budget  # noqa: E402
import page_checks as checks  # noqa: E402
import power_budget  # noqa: E402
from digital import MICROCONTROLLER_LEFT, MICROCONTROLLER_RIGHT  # noqa: E402

spec = spec_from_loader("fill_tables", SourceFileLoader("fill_tables", str(NOTES / "fill_tables")))
fill_tables = module_from_spec(spec)
spec.loader.exec_module(fill_tables)

PAGES = {page: page.read_text(encoding="utf-8") for page in sorted(NOTES.glob("*.md"))}
LINKING = PAGES | {page: page.read_text(encoding="utf-8")
                   for page in (ROOT / "README.md", ROOT / "DEVELOPERS.md", *NOTES.glob("*/*.md"))}


def read(path):
    if not path.exists():
        return None
    return path.read_text(encoding="utf-8") if path.suffix == ".md" else ""


class Links(unittest.TestCase):
    def test_every_link_and_every_path_leads_somewhere(self):
        self.assertGreaterEqual(len(PAGES), 8)
        self.assertEqual([complaint for page, text in LINKING.items()
                          for complaint in checks.broken_links(page, text, read)
                          + checks.missing_paths(page, text, lambda path: (ROOT / path).exists())], [])

    def test_a_link_to_no_file_and_one_to_no_heading_are_found(self):
        page = NOTES / "README.md"
        for text in ("[x](nowhere.md)", '<img src="drawings/none.svg">', "[x](cell.md#make-four)", "[x](#here)"):
            self.assertEqual(len(checks.broken_links(page, text, read)), 1, text)
        self.assertEqual(checks.broken_links(page, "`[x](nowhere.md)`\n# Here\n[x](#here)", read), [])
        self.assertEqual(len(checks.missing_paths(page, "`host/none.h`", lambda path: (ROOT / path).exists())), 1)

    def test_no_page_is_without_a_way_to_it(self):
        listed = checks.LINK.findall(PAGES[NOTES / "README.md"])
        for page in PAGES:
            if page.name != "README.md":
                self.assertIn((page.name, ""), listed)
        self.assertTrue("(hardware-notes/README.md)" in LINKING[ROOT / "README.md"])


class Honesty(unittest.TestCase):
    def test_every_page_says_at_its_top_that_no_hardware_was_built(self):
        for page, text in PAGES.items():
            self.assertIn("No hardware was built", "\n".join(text.splitlines()[:4]), page.name)

    def test_every_figure_of_a_budget_says_how_it_is_known(self):
        for page, text in PAGES.items():
            self.assertEqual(checks.without_status(page, text), [])
        self.assertEqual(len(checks.without_status(NOTES / "x.md", "|a|status|\n|-|-|\n|1|sure|\n")), 1)


class Telephone(unittest.TestCase):
    def test_tables_are_whole_and_few_columns_wide(self):
        for page, text in PAGES.items():
            self.assertEqual(checks.odd_tables(page, text), [])
        self.assertEqual(len(checks.odd_tables(NOTES / "x.md", "|a|b|c|d|e|f|\n|-|-|-|-|-|-|\n|1|2|\n")), 2)
        self.assertEqual(len(checks.odd_tables(NOTES / "x.md", "|a|\n|-|\n|`firmware/board/circuit.h`|\n")), 1)

    def test_our_own_drawings_are_legible_and_have_words(self):
        shown = {name for text in PAGES.values()
                 for name in re.findall(r'src="(drawings/[^"]+)" width="400"', text)}
        self.assertGreaterEqual(len(shown), 4)
        for name in shown:
            self.assertEqual(checks.unsuitable_drawing(name, (NOTES / name).read_text(encoding="utf-8")), [])
        bad = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 9"><text font-size="9">x</text></svg>'
        self.assertEqual(len(checks.unsuitable_drawing("bad", bad)), 3)


class Computed(unittest.TestCase):
    def test_tables_and_drawings_are_as_computed_now(self):
        self.assertEqual([page.name for page in fill_tables.stale()], [])
        marked = sum(len(fill_tables.MARKED.findall(text)) for text in PAGES.values())
        self.assertEqual(marked, len(fill_tables.TABLES), "each table stands in one page")

    def test_a_table_that_is_not_as_computed_is_found(self):
        with tempfile.TemporaryDirectory() as folder:
            notes = Path(folder)
            (notes / "drawings").mkdir()
            shutil.copy(NOTES / "drawings" / "timing.svg", notes / "drawings")
            shutil.copy(NOTES / "budgets.md", notes)
            self.assertEqual(fill_tables.stale(notes), {})
            page = notes / "budgets.md"
            page.write_text(page.read_text(encoding="utf-8").replace("| 1.20 |", "| 1.30 |"), encoding="utf-8")
            (notes / "drawings" / "timing.svg").write_text("<svg/>", encoding="utf-8")
            self.assertEqual({found.name for found in fill_tables.stale(notes)}, {"budgets.md", "timing.svg"})


class Budgets(unittest.TestCase):
    # Added up by hand from the parts' data before there was a program for it, two decimals.
    TOTALS_MV = {
        ("one temperature", 1800): (0.50, 1.95, 2.48), ("one temperature", 1100): (0.31, 1.20, 1.66),
        ("reference check", 1800): (0.40, 0.61, 1.11), ("reference check", 1100): (0.25, 0.39, 0.83),
        ("two temperatures", 1800): (0.22, 0.35, 0.82), ("two temperatures", 1100): (0.15, 0.24, 0.65),
    }

    def test_the_error_budget_comes_to_what_was_added_up_by_hand(self):
        for (case, at_mv), wanted in self.TOTALS_MV.items():
            for found, by_hand in zip(error_budget.total_mv(case, at_mv), wanted):
                self.assertAlmostEqual(found, by_hand, delta=0.0051, msg=f"{case} {at_mv}")

    def test_the_host_counts_what_the_budget_comes_to(self):
        for case, temperatures in (("reference check", "one_temperature"), ("two temperatures", "two_temperatures")):
            _, _, at_most_mv = error_budget.total_mv(case, error_budget.FULL_MV)
            self.assertAlmostEqual(error_budget.counted_mv(temperatures), at_most_mv, delta=0.1)

    def test_the_current_asleep_comes_to_what_was_added_up_by_hand(self):
        self.assertAlmostEqual(power_budget.asleep_ua("typ_ua", (), "zener"), 52, delta=0.5)
        self.assertAlmostEqual(power_budget.asleep_ua("max_ua", (), "zener"), 90, delta=0.51)

    def test_every_current_belongs_to_something_that_the_firmware_was_seen_to_do(self):
        share = power_budget.duty(10)
        self.assertEqual({row["while"] for row in power_budget.currents()}, set(share))
        self.assertEqual(share["always"], 1)


class Pins(unittest.TestCase):
    def test_the_pins_are_those_of_the_firmware(self):
        header = (ROOT / "firmware" / "board" / "pins.h").read_text(encoding="utf-8")
        self.assertGreaterEqual(len(checks.pins_of(header)), 13)
        text = PAGES[NOTES / "parts.md"]
        self.assertEqual(checks.odd_pins(header, text), [])
        self.assertEqual(len(checks.odd_pins(header.replace("led{'D', 7}", "led{'B', 7}"), text)), 1)
        self.assertEqual(len(checks.odd_pins(header, text.replace("| `led` |", "| lamp |"))), 1)


    def test_the_legs_are_those_of_the_drawing(self):
        drawn = {words.split()[0]: leg for leg, words, _ in MICROCONTROLLER_LEFT + MICROCONTROLLER_RIGHT
                 if re.match(r"P[BCD]\d", words)}
        self.assertEqual(len(drawn), 23)
        text = PAGES[NOTES / "parts.md"]
        self.assertEqual(checks.odd_legs(drawn, text), [])
        self.assertEqual(len(checks.odd_legs(drawn, text.replace("| PB6, PB7 | 9, 10 |", "| PB6, PB7 | 10, 9 |"))), 2)


class Parts(unittest.TestCase):
    def test_the_values_are_those_of_the_drawing(self):
        sheets = [sheet.read_text(encoding="utf-8") for sheet in sorted((NOTES / "circuit").glob("*.sch"))]
        self.assertGreaterEqual(sum(len(checks.values_of(sheet)) for sheet in sheets), 32)
        text = PAGES[NOTES / "parts.md"]
        self.assertEqual(checks.odd_values(sheets, text), [])
        # Two parts share a row: both differ, or one is missing.
        self.assertEqual(len(checks.odd_values(sheets, text.replace("| R15, R25 | 680 kΩ", "| R15, R25 | 670 kΩ"))), 2)
        self.assertEqual(len(checks.odd_values(sheets, text.replace("| R15, R25 |", "| R15 |"))), 1)
        self.assertEqual(len(checks.odd_values(sheets, text + "\n| part | value |\n|-|-|\n| R99 | 1 kΩ |\n")), 1)


class Comparison(unittest.TestCase):
    """That nothing of the program's steps and limits is lost on the way into the page."""

    def test_all_steps_are_told(self):
        source = (ROOT / "host" / "calibration" / "steps.cpp").read_text(encoding="utf-8")
        self.assertEqual(len(calibration.steps()), len(re.findall(r"StepKind::\w+,", source)))
        self.assertEqual({step["number"] for step in calibration.steps()}, {1, 3, 4, 5, 6, 7, 8, 9})
        self.assertEqual([step["mv"] for step in calibration.steps() if step["kind"] == "verify"][:5],
                         [-1800, -1100, -600, 0, 600])
        self.assertTrue(all(step["connect"].endswith((".", "about")) for step in calibration.steps()))

    def test_all_limits_are_told(self):
        header = (ROOT / "host" / "calibration" / "limits.h").read_text(encoding="utf-8")
        named = re.search(r"enum class Limit \{(.*?)\}", header, re.DOTALL)[1]
        self.assertEqual(len(calibration.limits()), len(re.findall(r"\w+,", named)))
        zero = calibration.limits()[0]
        self.assertEqual((zero["what"], calibration.accepted(zero)), ("zero", "within ± 3 codes"))


if __name__ == "__main__":
    unittest.main(verbosity=2)

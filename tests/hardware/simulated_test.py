"""hardware-notes/simulated.csv is what the drawn circuit shows, within its limits, and what firmware, bench and
host take it for; and a circuit or a constant that is another is noticed."""
import csv
import dataclasses
import os
import re
import unittest

import moving
import steady
from circuit import HERE, Circuit
from row import COLUMNS, Row
from simulate import assumptions, program_of, results

TABLE = HERE.parent.parent / "hardware-notes" / "simulated.csv"
PROGRAM = program_of(os.environ.get("QUAYCELL_BUILD", HERE.parent.parent / "build"))

# Another machine's arithmetic may round the last digit differently, and what is nearly nothing altogether.
RELATIVE, ABSOLUTE = 0.005, 0.01


def changed(circuit, old, new):
    other = object.__new__(Circuit)
    other.netlist, count = re.subn(old, new, circuit.netlist, flags=re.MULTILINE)
    assert count == 1, f"{old} is not in the netlist once"
    return other


def broken(rows):
    return {row.figure for row in rows if not (row.kept and row.agreed)}


class Simulated(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.circuit, cls.assumed = Circuit(), assumptions(PROGRAM)
        cls.rows = results(cls.circuit, cls.assumed, PROGRAM)

    def test_every_figure_is_within_its_limit_and_agrees_with_who_takes_it_for_granted(self):
        self.assertGreater(len(self.rows), 80)
        for row in self.rows:
            with self.subTest(row.figure, condition=row.condition, assumed_in=row.assumed_in):
                self.assertTrue(row.kept and row.agreed, row.status)
                self.assertTrue(row.low is not None or row.high is not None or row.assumed is not None)

    def test_the_table_in_the_notes_is_what_is_simulated_now(self):
        with open(TABLE, encoding="utf-8", newline="") as file:
            held = list(csv.reader(file))
        self.assertEqual(held[0], COLUMNS)
        now = [row.fields() for row in self.rows]
        self.assertEqual([row[:2] for row in held[1:]], [row[:2] for row in now], "run hardware-notes/regenerate")
        for old, new in zip(held[1:], now):
            with self.subTest(new[0], condition=new[1], assumed_in=new[5]):
                off = abs(float(old[2]) - float(new[2]))
                self.assertLessEqual(off, max(RELATIVE * abs(float(new[2])), ABSOLUTE), "run hardware-notes/regenerate")
                self.assertEqual(old[3:], new[3:], "run hardware-notes/regenerate")


class AnotherCircuit(unittest.TestCase):
    """The check can fail."""

    @classmethod
    def setUpClass(cls):
        cls.circuit, cls.assumed = Circuit(), assumptions(PROGRAM)

    def test_a_feedback_resistor_of_another_value_is_noticed(self):
        self.assertEqual(broken(steady.ac(self.circuit, self.assumed)), set())
        other = changed(self.circuit, r"^(R15 \S+ \S+) 680k", r"\1 750k")
        self.assertIn("gain to the AC input", broken(steady.ac(other, self.assumed)))

    def test_a_stimulus_resistor_of_another_value_is_noticed(self):
        other = changed(self.circuit, r"^(R17 \S+ \S+) 1Meg", r"\1 1.5Meg")
        self.assertIn("answer to the stimulus", broken(moving.stimulus(other, self.assumed, PROGRAM)))

    def test_a_larger_filter_capacitor_is_noticed(self):
        other = changed(self.circuit, r"^(C12 \S+ \S+) 220n", r"\1 470n")
        self.assertIn("settling to 0.1 mV", broken(moving.settling(other, self.assumed)))

    def test_a_constant_of_the_firmware_that_is_another_is_noticed(self):
        gain = self.assumed["ac_gain"]
        other = {**self.assumed, "ac_gain": gain._replace(value=gain.value * 1.1)}
        self.assertIn("gain to the AC input", broken(steady.ac(self.circuit, other)))

    def test_a_row_says_what_is_wrong_with_it(self):
        row = Row("gain", "50 Hz", 0.285, "", 0.28, 0.29, 0.287, "circuit.h", 0.02)
        self.assertEqual(row.status, "agrees within 2 %")
        self.assertEqual(dataclasses.replace(row, simulated=0.3).status, "OUTSIDE THE LIMIT")
        self.assertEqual(dataclasses.replace(row, assumed=0.38).status, "DISAGREES by 25 % where 2 are allowed")


if __name__ == "__main__":
    unittest.main()

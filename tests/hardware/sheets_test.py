"""The sheets, their drawings and the pins that firmware and bench know."""
import os
import re
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
NOTES = ROOT / "hardware-notes"
BUILD = Path(os.environ.get("QUAYCELL_BUILD", ROOT / "build"))
sys.path.insert(0, str(NOTES / "circuit"))
from digital import MICROCONTROLLER_LEFT, MICROCONTROLLER_RIGHT  # noqa: E402

from circuit import Circuit  # noqa: E402
from simulate import assumptions, program_of  # noqa: E402

# What the sheet calls the nets of the pins in board/pins.h, where it says more than the firmware's name.
NETS = {"bus_data": "SDA", "bus_clock": "SCL"}
CHANNELS = {"adc_ac_a": "AC_A", "adc_ac_b": "AC_B", "adc_thermistor": "WATER", "adc_battery": "BATTERY_HALF"}


def ohms(value):
    number, unit = re.match(r"([\d.]+)(k|Meg|)", value).groups()
    return float(number) * {"k": 1e3, "Meg": 1e6, "": 1}[unit]


def nets(*sheets):
    """Net -> the pins on it, as refdes-pin."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "nets"
        subprocess.run(["lepton-netlist", "-g", "geda", "-o", out, *sheets], check=True, capture_output=True,
                       env={**os.environ, "GUILE_AUTO_COMPILE": "0"})
        text = out.read_text(encoding="utf-8")
    listed = re.search(r"START nets\n(.*?)END nets", text, re.DOTALL).group(1).replace(",\n", ",")
    return {name.strip(): [pin.strip().replace(" ", "-") for pin in pins.split(",")]
            for name, pins in (line.split(":", 1) for line in listed.splitlines() if ":" in line)}


class Sheets(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.nets = nets(NOTES / "circuit" / "front_end.sch", NOTES / "circuit" / "digital.sch")
        cls.net_of = {pin: net for net, pins in cls.nets.items() for pin in pins}

    def test_the_sheets_are_what_the_program_writes(self):
        with tempfile.TemporaryDirectory() as folder:
            subprocess.run([NOTES / "circuit" / "draw", folder], check=True)
            for name in ("front_end.sch", "digital.sch"):
                self.assertEqual((Path(folder) / name).read_text(), (NOTES / "circuit" / name).read_text(),
                                 f"{name}: run hardware-notes/regenerate")

    def test_the_drawings_are_those_of_the_sheets(self):
        subprocess.run(["cmake", "--build", BUILD, "--target", "hardware_drawings"], check=True, capture_output=True)
        for name in ("front_end", "digital"):
            made = BUILD / "hardware-notes" / name
            self.assertEqual(made.with_suffix(".svg").read_bytes(), (NOTES / "drawings" / f"{name}.svg").read_bytes(),
                             f"{name}: run hardware-notes/regenerate")
            self.assertTrue(made.with_suffix(".pdf").read_bytes().startswith(b"%PDF"))

    def test_every_pin_hangs_where_the_firmware_has_it(self):
        text = (ROOT / "firmware" / "board" / "pins.h").read_text(encoding="utf-8")
        pins = re.findall(r"constexpr Pin (\w+)\{\s*'(\w)',\s*(\d)\s*\}", text)
        self.assertGreater(len(pins), 8)
        by_port = {words.split()[0]: number for number, words, _ in MICROCONTROLLER_LEFT + MICROCONTROLLER_RIGHT}
        for name, port, bit in pins:
            with self.subTest(name):
                self.assertEqual(self.net_of[f"U4-{by_port[f'P{port}{bit}']}"], NETS.get(name, name.upper()))
        for name, net in CHANNELS.items():
            with self.subTest(name):
                channel = re.search(rf"{name} = (\d)", text).group(1)
                self.assertEqual(self.net_of[f"U4-{by_port[f'PC{channel}']}"], net)

    def test_parts_that_a_constant_of_the_firmware_names_have_its_value(self):
        value = {}
        for name in ("front_end.sch", "digital.sch"):
            text = (NOTES / "circuit" / name).read_text(encoding="utf-8")
            for block in re.findall(r"^\{\n(.*?)^\}", text, re.DOTALL | re.MULTILINE):
                refdes, worth = (re.search(rf"^{key}=(.*)$", block, re.MULTILINE) for key in ("refdes", "value"))
                if refdes and worth:
                    value[refdes.group(1)] = worth.group(1)
        assumed = {name: number for name, (number, _) in assumptions(program_of(BUILD)).items()}
        self.assertEqual(ohms(value["R31"]), assumed["hull_lead_ohm"])
        self.assertEqual(ohms(value["R53"]), assumed["thermistor_pullup_ohm"])
        self.assertEqual(1 + ohms(value["R55"]) / ohms(value["R56"]), assumed["battery_divider"])
        self.assertEqual(float(value["Y1"].removesuffix(" MHz")) * 1e6, assumed["cpu_hz"])

    def test_the_cell_converter_has_the_inputs_that_the_driver_selects(self):
        for pin, net in ((4, "AIN0"), (5, "AIN1"), (6, "AIN2"), (7, "COM"), (1, "GND")):
            self.assertEqual(self.net_of[f"U6-{pin}"], net)

    def test_both_cells_have_the_same_circuit(self):
        parts = {}
        for line in Circuit().netlist.splitlines():
            if re.match(r"[A-Z]", line):
                name, *rest = line.split()
                parts[name] = rest
        twin = lambda name: re.sub(r"^([RC])1", r"\g<1>2", re.sub(r"^(XU\d)A$", r"\1B", name))
        of_a = [name for name in parts if twin(name) != name]
        self.assertEqual(len(of_a), 16)
        # A net of A is always the same net of B; what is common is common.
        nets = {"COM": "COM", "0": "0", "VDD": "VDD"}
        for name in of_a:
            for a, b in zip(parts[name], parts[twin(name)], strict=True):
                with self.subTest(name):
                    self.assertEqual(nets.setdefault(a, b), b)

    def test_no_net_ends_in_the_air(self):
        for net, pins in self.nets.items():
            with self.subTest(net):
                # The jacks and the pin that is free have no partner on the board.
                alone = net in {"HULL", "CELL_A", "CELL_B", "U4_4"}
                self.assertGreaterEqual(len(pins), 1 if alone else 2, pins)

    def test_the_hosts_side_touches_the_loggers_nowhere(self):
        hosts = [pin for net, pins in self.nets.items() if net.startswith("HOST_") and net != "HOST_PRESENT" for pin in pins]
        own = {pin for net, pins in self.nets.items() if not net.startswith("HOST_") or net == "HOST_PRESENT" for pin in pins}
        crossing = {pin.split("-")[0] for pin in hosts} & {pin.split("-")[0] for pin in own}
        self.assertEqual(crossing - {"R52"}, {"U9", "U10"})


if __name__ == "__main__":
    unittest.main()

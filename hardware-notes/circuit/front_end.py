"""The analogue sheet: two cells' inputs alike, the reference at COM, the hull's lead."""
from sheet import VERTICAL, Sheet


def channel(sheet, cell, y, first):
    """From a cell's jack to the converters. `first` is added to the numbers of the parts."""
    part = lambda letter, number: f"{letter}{first + number}"
    sheet.text(1, y + 32, f"Cell {cell}", size=14)
    sheet.jack(f"J{first // 10}", f"CELL_{cell}", 12, y, f"cell {cell}")
    sheet.wire((12, y), (26, y), (30, y))
    sheet.text(1, y - 4, "shield: COM", size=9)

    # Low-pass to the cell converter: 0.56 Hz, two poles.
    sheet.resistor(part("R", 1), "470k", 30, y)
    sheet.wire((39, y), (44, y), (50, y), name=f"BETWEEN_{cell}")
    sheet.capacitor(part("C", 1), "220n", 44, y, VERTICAL)
    sheet.resistor(part("R", 2), "470k", 50, y)
    sheet.wire((59, y), (64, y), (78, y), name=f"FILTERED_{cell}")
    sheet.capacitor(part("C", 2), "220n", 64, y, VERTICAL)
    sheet.wire((42, y - 12), (44, y - 12), (64, y - 12))
    sheet.port("COM", 42, y - 12, "left")
    sheet.wire((44, y - 9), (44, y - 12))
    sheet.wire((64, y - 9), (64, y - 12))
    sheet.amplifier("U1", cell, "BUFFER", "MCP6V32", 78, y - 4)
    sheet.wire((88, y - 2), (91, y - 2), (96, y - 2))
    sheet.wire((91, y - 2), (91, y - 12), (75, y - 12), (75, y - 4), (78, y - 4))
    sheet.text(75, y - 15, "and the guard ring", size=9)
    sheet.resistor(part("R", 3), "470", 96, y - 2)
    sheet.wire((105, y - 2), (109, y - 2))
    sheet.capacitor(part("C", 3), "100n", 109, y - 2, VERTICAL)
    sheet.ground(109, y - 11)
    sheet.wire((109, y - 2), (116, y - 2))
    sheet.port({"A": "AIN0", "B": "AIN1"}[cell], 116, y - 2, "right")

    # AC amplifier, to the microcontroller's converter.
    sheet.wire((26, y), (26, y + 22), (30, y + 22))
    sheet.capacitor(part("C", 4), "4.7n", 30, y + 22)
    sheet.wire((39, y + 22), (42, y + 22))
    sheet.resistor(part("R", 4), "2.2Meg", 42, y + 22)
    sheet.wire((51, y + 22), (57, y + 22), (64, y + 22))
    sheet.port("COM", 64, y + 26, "left")
    sheet.amplifier("U2", cell, "AC_AMPLIFIER", "MCP6042", 64, y + 22)
    sheet.wire((57, y + 22), (57, y + 14.5), (61, y + 14.5))
    sheet.wire((57, y + 14.5), (57, y + 5.6), (61, y + 5.6))
    sheet.resistor(part("R", 5), "680k", 61, y + 14.5)
    sheet.capacitor(part("C", 5), "220p", 61, y + 5.6)
    sheet.wire((70, y + 14.5), (80, y + 14.5), (80, y + 24))
    sheet.wire((70, y + 5.6), (80, y + 5.6), (80, y + 14.5))
    sheet.wire((74, y + 24), (80, y + 24), (96, y + 24))
    sheet.resistor(part("R", 6), "1k", 96, y + 24)
    sheet.wire((105, y + 24), (109, y + 24))
    sheet.capacitor(part("C", 6), "10n", 109, y + 24, VERTICAL)
    sheet.ground(109, y + 15)
    sheet.wire((109, y + 24), (116, y + 24))
    sheet.port(f"AC_{cell}", 116, y + 24, "right")

    # Stimulus.
    sheet.port(f"STIMULUS_{cell}", 2, y - 17, "left")
    sheet.resistor(part("R", 7), "1Meg", 2, y - 17)
    sheet.wire((11, y - 17), (14, y - 17))
    sheet.capacitor(part("C", 7), "4.7n", 14, y - 17)
    sheet.wire((23, y - 17), (26, y - 17), (26, y))


def reference(sheet, y):
    sheet.text(1, y + 14, "Hull and COM, 1.024 V", size=14)
    sheet.jack("J3", "HULL", 12, y, "hull's clip")
    sheet.wire((12, y), (30, y))
    sheet.resistor("R31", "10k", 30, y)
    sheet.wire((39, y), (44, y), (60, y))
    sheet.capacitor("C31", "1u", 44, y, VERTICAL)
    sheet.ground(44, y - 9)
    sheet.block("U3", "REF35102", 63, y + 12, 14, left=[(None, "IN", "VDD"), (None, "GND", "GND"), (None, "OUT", None)],
                model="REFERENCE")
    sheet.resistor("R32", "470", 96, y)
    sheet.wire((60, y), (60, y - 9), (88, y - 9), (88, y), (96, y))
    sheet.wire((105, y), (109, y))
    sheet.capacitor("C32", "100n", 109, y, VERTICAL)
    sheet.ground(109, y - 9)
    sheet.wire((109, y), (116, y))
    sheet.port("AIN2", 116, y, "right")
    sheet.wire((88, y), (88, y + 8), (116, y + 8))
    sheet.port("COM", 116, y + 8, "right")


def front_end():
    sheet = Sheet()
    channel(sheet, "A", 106, 10)
    channel(sheet, "B", 48, 20)
    reference(sheet, 6)
    return sheet

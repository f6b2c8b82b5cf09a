"""The digital sheet: supply, microcontroller, converter, clock, flash, isolated serial line, sensors."""
from sheet import FREE, VERTICAL, Sheet

MICROCONTROLLER_LEFT = [
    (7, "VCC", "VDD"), (20, "AVCC", "VDD"), (21, "AREF", "AREF"), (8, "GND", "GND"), (22, "GND", "GND"),
    (1, "PC6 RESET", "RESET"), (9, "PB6 XTAL1", "XTAL1"), (10, "PB7 XTAL2", "XTAL2"),
    (23, "PC0 ADC0", "AC_A"), (24, "PC1 ADC1", "AC_B"), (25, "PC2 ADC2", "WATER"), (26, "PC3 ADC3", "BATTERY_HALF"),
    (27, "PC4 SDA", "SDA"), (28, "PC5 SCL", "SCL")]
MICROCONTROLLER_RIGHT = [
    (2, "PD0 RXD", "RXD"), (3, "PD1 TXD", "TXD"), (4, "PD2", FREE), (5, "PD3", "STIMULUS_B"), (6, "PD4", "STIMULUS_A"),
    (11, "PD5", "CONVERSION_READY"), (12, "PD6", "HOST_PRESENT"), (13, "PD7", "LED"), (14, "PB0", "CLOCK_ALARM"),
    (15, "PB1", "SENSOR_SUPPLY"), (16, "PB2", "FLASH_SELECT"), (17, "PB3 MOSI", "MOSI"), (18, "PB4 MISO", "MISO"),
    (19, "PB5 SCK", "SCK")]


def supply(sheet, y):
    sheet.text(-2, y + 8, "Supply, 3.3 V", size=14)
    sheet.part("battery-1.sym", "BT1", "3 x AA", 4, y, VERTICAL)
    sheet.ground(4, y - 7)
    sheet.wire((4, y), (4, y + 4), (16, y + 4), (25, y + 4), name="BATTERY")
    sheet.capacitor("C41", "1u", 16, y + 4, VERTICAL)
    sheet.ground(16, y - 5)
    sheet.block("U5", "MCP1700-3302", 28, y + 8, 12, left=[(2, "IN", None), (1, "GND", "GND")], right=[(3, "OUT", None)])
    sheet.wire((43, y + 4), (48, y + 4), (60, y + 4), (67, y + 4))
    sheet.capacitor("C42", "10u", 48, y + 4, VERTICAL)
    sheet.ground(48, y - 5)
    sheet.part("zener-1.sym", "D1", "4V3", 60, y + 4, VERTICAL, flip=True)
    sheet.ground(60, y - 5)
    sheet.supply("VDD", 67, y + 4)


def decoupling(sheet, x, y):
    sheet.text(x - 6, y + 5.5, "100 nF at each supply pin", size=10)
    sheet.supply("VDD", x, y)
    names = ["C43", "C44", "C45", "C46", "C47", "C48", "C49", "C50"]
    for i, name in enumerate(names):
        sheet.capacitor(name, "100n", x + 9 * i, y, VERTICAL)
    ends = [x + 9 * i for i in range(len(names))]
    sheet.wire(*((end, y) for end in ends))
    sheet.wire(*((end, y - 9) for end in ends))
    sheet.ground(x, y - 9)


def microcontroller(sheet, y):
    sheet.text(18, y + 4, "Microcontroller", size=14)
    sheet.block("U4", "ATmega328P", 28, y, 24, left=MICROCONTROLLER_LEFT, right=MICROCONTROLLER_RIGHT)
    x = -13
    sheet.port("RESET", x, y - 4, "left")
    sheet.wire((x, y - 4), (x + 4, y - 4))
    sheet.resistor("R41", "10k", x + 4, y + 5, VERTICAL)
    sheet.supply("VDD", x + 4, y + 5)
    sheet.port("AREF", x, y - 12, "left")
    sheet.wire((x, y - 12), (x + 4, y - 12))
    sheet.capacitor("C51", "100n", x + 4, y - 12, VERTICAL)
    sheet.ground(x + 4, y - 21)
    sheet.port("XTAL1", x, y - 28, "left")
    sheet.port("XTAL2", x, y - 46, "left")
    sheet.wire((x, y - 28), (x + 4, y - 28), (x + 10, y - 28))
    sheet.wire((x, y - 46), (x + 4, y - 46), (x + 10, y - 46))
    sheet.wire((x + 4, y - 28), (x + 4, y - 33.5))
    sheet.wire((x + 4, y - 40.5), (x + 4, y - 46))
    sheet.part("crystal-1.sym", "Y1", "7.3728 MHz", x + 4, y - 33.5, VERTICAL)
    for name, row in (("C52", y - 28), ("C53", y - 46)):
        sheet.capacitor(name, "22p", x + 10, row)
        sheet.wire((x + 19, row), (x + 19, row - 1))
        sheet.ground(x + 19, row - 1)


def chips(sheet, x, y):
    sheet.text(x, y + 4, "Cell converter", size=14)
    sheet.block("U6", "ADS1115", x, y, 18,
                left=[(4, "AIN0", "AIN0"), (5, "AIN1", "AIN1"), (6, "AIN2", "AIN2"), (7, "AIN3", "COM"),
                      (1, "ADDR", "GND")],
                right=[(8, "VDD", "VDD"), (9, "SDA", "SDA"), (10, "SCL", "SCL"), (2, "ALERT", "CONVERSION_READY"),
                       (3, "GND", "GND")])
    y -= 40
    sheet.text(x, y + 4, "Clock", size=14)
    sheet.block("U7", "DS3231", x, y, 18,
                left=[(14, "VBAT", "VDD"), (2, "VCC", "GND"), (13, "GND", "GND")],
                right=[(15, "SDA", "SDA"), (16, "SCL", "SCL"), (3, "INT", "CLOCK_ALARM")])
    y -= 32
    sheet.text(x, y + 4, "Flash, 2 to 16 MB", size=14)
    sheet.block("U8", "SPI NOR", x, y, 18,
                left=[(8, "VCC", "VDD"), (3, "WP", "VDD"), (7, "HOLD", "VDD"), (4, "GND", "GND")],
                right=[(1, "CS", "FLASH_SELECT"), (6, "CLK", "SCK"), (5, "DI", "MOSI"), (2, "DO", "MISO")])


def pull_ups(sheet, x, y):
    sheet.text(x - 4, y + 7, "Pull-ups", size=14)
    rows = [("R42", "4.7k", "SDA"), ("R43", "4.7k", "SCL"), ("R44", "1Meg", "CONVERSION_READY"),
            ("R45", "1Meg", "CLOCK_ALARM"), ("R46", "100k", "FLASH_SELECT")]
    sheet.supply("VDD", x, y)
    places = [y - 9 * i for i in range(len(rows))]
    sheet.wire(*((x, place) for place in places))
    for (name, value, net), place in zip(rows, places):
        sheet.resistor(name, value, x + 3, place)
        sheet.wire((x, place), (x + 3, place))
        sheet.port(net, x + 12, place, "right")
    # Not from VDD: it would feed the isolator while that is off.
    place = y - 9 * len(rows)
    sheet.port("LINE_SUPPLY", x + 3, place, "left")
    sheet.resistor("R47", "1Meg", x + 3, place)
    sheet.port("RXD", x + 12, place, "right")


def line(sheet, y):
    sheet.text(-8, y + 9, "Isolated serial line: the host's side is fed by the host alone", size=14)
    sheet.block("U9", "ISO7721, wide body", 42, y, 22,
                left=[(None, "VCC1", "LINE_SUPPLY"), (None, "INB", None), (None, "OUTA", "RXD"), (None, "GND1", "GND")],
                right=[(None, "VCC2", "HOST_5V"), (None, "OUTB", "HOST_RXD"), (None, "INA", "HOST_TXD"),
                       (None, "GND2", "HOST_GND")])
    sheet.resistor("R48", "1k", 12, y - 8)
    sheet.wire((21, y - 8), (39, y - 8))
    sheet.port("TXD", 12, y - 8, "left")
    sheet.block("J5", "serial adapter", 100, y, 14,
                left=[(1, "5V", "HOST_5V"), (2, "RXD", "HOST_RXD"), (3, "TXD", "HOST_TXD"), (4, "GND", "HOST_GND")])
    y -= 36
    sheet.block("U10", "TLP785F", 42, y, 22,
                left=[(None, "C", "LINE_OFF"), (None, "E", "GND")], right=[(None, "A", None), (None, "K", "HOST_GND")])
    sheet.wire((67, y - 4), (86, y - 4))
    sheet.resistor("R52", "1k", 86, y - 4)
    sheet.port("HOST_5V", 95, y - 4, "right")
    # The logger's side is fed while a host is there.
    sheet.transistor("pmos-3.sym", "Q1", "P", 8, y - 9)
    sheet.supply("VDD", 13, y + 8)
    sheet.wire((13, y + 8), (13, y + 6.5), (13, y - 7))
    sheet.resistor("R49", "1Meg", 3, y + 5, VERTICAL)
    sheet.wire((3, y + 5), (3, y + 6.5), (13, y + 6.5))
    sheet.wire((3, y - 4), (3, y - 9), (8, y - 9))
    sheet.wire((0, y - 9), (3, y - 9))
    sheet.port("LINE_OFF", 0, y - 9, "left")
    sheet.wire((13, y - 15), (13, y - 16), (13, y - 22))
    sheet.wire((13, y - 16), (18, y - 16))
    sheet.port("LINE_SUPPLY", 18, y - 16, "right")
    sheet.resistor("R50", "10k", 13, y - 22)
    sheet.wire((22, y - 22), (26, y - 22), (36, y - 22))
    sheet.port("HOST_PRESENT", 36, y - 22, "right")
    sheet.resistor("R51", "100k", 26, y - 22, VERTICAL)
    sheet.ground(26, y - 31)
    sheet.capacitor("C54", "100n", 60, y - 18, VERTICAL)
    sheet.port("LINE_SUPPLY", 60, y - 18, "right")
    sheet.ground(60, y - 27)
    sheet.capacitor("C55", "100n", 84, y - 18, VERTICAL)
    sheet.port("HOST_5V", 84, y - 18, "right")
    sheet.wire((84, y - 27), (86, y - 27))
    sheet.port("HOST_GND", 86, y - 27, "right")


def sensors(sheet, x, y):
    sheet.text(x - 10, y + 7, "Water thermistor, battery, lamp", size=14)
    sheet.port("SENSOR_SUPPLY", x, y, "left")
    sheet.resistor("R53", "10k 0.1 %", x, y)
    sheet.wire((x + 9, y), (x + 14, y), (x + 22, y))
    sheet.port("WATER", x + 22, y, "right")
    sheet.part("ntc-1.sym", "RT1", "10k at 25 degC", x + 14, y, VERTICAL)
    sheet.ground(x + 14, y - 9)
    sheet.text(x + 16, y - 9, "in the water, through J4", size=9)

    y -= 26
    sheet.port("LED", x, y, "left")
    sheet.resistor("R57", "1k", x, y)
    sheet.part("led-2.sym", "D2", "low current", x + 12, y)
    sheet.wire((x + 9, y), (x + 12, y))
    sheet.wire((x + 21, y), (x + 23, y), (x + 23, y - 1))
    sheet.ground(x + 23, y - 1)

    x, y = x + 44, y + 28
    # The battery is loaded only while it is measured.
    sheet.transistor("nmos-3.sym", "Q2", "N", x, y - 16)
    sheet.port("SENSOR_SUPPLY", x, y - 16, "left")
    sheet.ground(x + 5, y - 18)
    sheet.transistor("pmos-3.sym", "Q3", "P", x + 14, y - 4)
    sheet.port("BATTERY", x + 19, y + 6, "right")
    sheet.wire((x + 19, y + 6), (x + 19, y + 4.5), (x + 19, y - 2))
    sheet.wire((x + 19, y + 4.5), (x + 5, y + 4.5))
    sheet.resistor("R54", "1Meg", x + 5, y + 4.5, VERTICAL)
    sheet.wire((x + 5, y - 4.5), (x + 5, y - 10))
    sheet.wire((x + 5, y - 4.5), (x + 14, y - 4.5), (x + 14, y - 4))
    sheet.wire((x + 19, y - 10), (x + 19, y - 11))
    sheet.resistor("R55", "10k", x + 19, y - 11, VERTICAL)
    sheet.wire((x + 19, y - 20), (x + 19, y - 23))
    sheet.wire((x + 19, y - 21.5), (x + 26, y - 21.5))
    sheet.port("BATTERY_HALF", x + 26, y - 21.5, "right")
    sheet.resistor("R56", "10k", x + 19, y - 23, VERTICAL)
    sheet.ground(x + 19, y - 32)


def programming(sheet, x, y):
    sheet.text(x, y + 4, "Programming", size=14)
    sheet.block("J6", "6-pin header", x, y, 14,
                left=[(1, "MISO", "MISO"), (3, "SCK", "SCK"), (5, "RESET", "RESET")],
                right=[(2, "VCC", "VDD"), (4, "MOSI", "MOSI"), (6, "GND", "GND")])


def digital():
    sheet = Sheet()
    supply(sheet, 160)
    decoupling(sheet, 84, 164)
    microcontroller(sheet, 134)
    chips(sheet, 90, 134)
    pull_ups(sheet, 143, 128)
    programming(sheet, 149, 62)
    line(sheet, 24)
    sensors(sheet, 8, -60)
    return sheet

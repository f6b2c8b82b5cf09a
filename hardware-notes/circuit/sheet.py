"""Writes a Lepton EDA sheet. Places are in units of the 100 mil grid, from the lower left corner."""

GRID = 100
FREE = "free" # of a pin: nothing is joined to it
HORIZONTAL, VERTICAL = "horizontal", "vertical"

# Two-pin symbols of Lepton's library: where their first pin sits above the symbol's origin, and how
# far apart the pins are.
TWO_PINS = {
    "resistor-2.sym": (1, 9), "capacitor-1.sym": (2, 9), "zener-1.sym": (2, 9),
    "led-2.sym": (1, 9), "crystal-1.sym": (1, 7), "battery-1.sym": (2, 7), "ntc-1.sym": (2, 9),
}
SYMBOL_VERSIONS = {"resistor-2.sym": "0.1", "capacitor-1.sym": "0.2", "crystal-1.sym": "0.2", "battery-1.sym": "0.2",
                   "ntc-1.sym": "0.1"}

LOWER_LEFT, MIDDLE_LEFT, UPPER_LEFT = 0, 1, 2
LOWER_MIDDLE, UPPER_MIDDLE = 3, 5
MIDDLE_RIGHT = 7


class Sheet:
    def __init__(self):
        self.lines = ["v 20211219 2"]

    def text(self, x, y, words, size=10, align=LOWER_LEFT):
        self._text(x, y, words, align=align, size=size)

    def wire(self, *corners, name=None):
        """Through corners (x, y), one after another; its name is for the netlist and not drawn."""
        for (x, y), (to_x, to_y) in zip(corners, corners[1:]):
            self.lines.append(f"N {self._at(x, y)} {self._at(to_x, to_y)} 4")
        if name:
            self._attributes([(*corners[0], f"netname={name}", LOWER_LEFT, False)])

    def port(self, name, x, y, side, shown=None):
        """Joins the wire that ends at (x, y) to all others of that name, which is written on that side of it."""
        out, align = {"left": (-1, MIDDLE_RIGHT), "right": (1, MIDDLE_LEFT)}[side]
        own = self._graphic_pin(1, x, y, x + out, y)
        self.lines += [f"C {self._at(x, y)} 1 0 0 EMBEDDEDport.sym", "[", *own, "]"]
        self._attributes([(x, y, f"net={name}:1", LOWER_LEFT, False)])
        self.text(x + 1.6 * out, y, shown or name, align=align)

    def part(self, symbol, name, value, x, y, lie=HORIZONTAL, flip=False):
        """A part of two pins, its left or upper one at (x, y). Flipped, of a vertical one: its second pin is there."""
        above, length = TWO_PINS[symbol]
        if lie == HORIZONTAL:
            angle, origin = 0, (x, y - above)
            middle = x + length / 2
            clear = {"resistor-2.sym": 2, "led-2.sym": 4}.get(symbol, above + 0.7)
            texts = [(middle, y + clear, LOWER_MIDDLE), (middle, y - clear, UPPER_MIDDLE)]
        else:
            # The first pin is at the upper end unless flipped.
            angle = 90 if flip else 270
            origin = (x + above, y - length) if flip else (x - above, y)
            middle = y - length / 2
            texts = [(x + 2.5, middle + 0.4, LOWER_LEFT), (x + 2.5, middle - 0.4, UPPER_LEFT)]
        self.lines.append(f"C {self._at(*origin)} 1 {angle} 0 {symbol}")
        attributes = [(*texts[0][:2], f"refdes={name}", texts[0][2], True),
                      (*texts[1][:2], f"value={value}", texts[1][2], True)]
        if symbol in SYMBOL_VERSIONS:
            attributes.append((x, y, f"symversion={SYMBOL_VERSIONS[symbol]}", LOWER_LEFT, False))
        self._attributes(attributes)

    def resistor(self, name, value, x, y, lie=HORIZONTAL):
        self.part("resistor-2.sym", name, value, x, y, lie)

    def capacitor(self, name, value, x, y, lie=HORIZONTAL):
        self.part("capacitor-1.sym", name, value, x, y, lie)

    def ground(self, x, y):
        self.lines.append(f"C {self._at(x - 1, y - 3)} 1 0 0 gnd-1.sym")

    def supply(self, name, x, y):
        self.lines.append(f"C {self._at(x - 2, y)} 1 0 0 generic-power.sym")
        self._attributes([(x, y, f"net={name}:1", LOWER_LEFT, False)])
        self.text(x, y + 2.5, name, align=LOWER_MIDDLE)

    def amplifier(self, name, half, model, shown, x, y):
        """A half of a dual amplifier, its inverting input, the lower one, at (x, y); the other 4 above, the output 10
        to the right and 2 above. `model` is its subcircuit's name."""
        plus, minus, out = {"A": (3, 2, 1), "B": (5, 6, 7)}[half]
        low = y - 2
        # A triangle with + and -, and the pins in the order of a subcircuit.
        strokes = [(2, 0, 2, 8), (2, 8, 8, 4), (8, 4, 2, 0), (3, 5.5, 3, 6.5), (2.5, 6, 3.5, 6), (2.5, 2, 3.5, 2)]
        own = [f"L {self._at(x + a, low + b)} {self._at(x + c, low + d)} 3 0 0 0 -1 -1" for a, b, c, d in strokes]
        pins = [(plus, 0, 6, 2, 6, 1.5, 6.5, 6), (minus, 0, 2, 2, 2, 1.5, 2.5, 6), (8, 5, 8, 5, 6, 5.5, 6, 0),
                (4, 5, 0, 5, 2, 5.5, 1, 0), (out, 10, 4, 8, 4, 8, 4.5, 0)]
        for order, (number, from_x, from_y, to_x, to_y, words_x, words_y, align) in enumerate(pins, start=1):
            own += [f"P {self._at(x + from_x, low + from_y)} {self._at(x + to_x, low + to_y)} 1 0 0", "{",
                    *self._hidden(f"pinseq={order}"), f"T {self._at(x + words_x, low + words_y)} 5 8 1 1 0 {align} 1",
                    f"pinnumber={number}", *self._hidden(f"pinlabel={order}"), *self._hidden("pintype=pas"), "}"]
        self.lines += [f"C {self._at(x, y)} 1 0 0 EMBEDDEDamplifier.sym", "[", *own, "]"]
        self._attributes([(x, y, f"refdes=X{name}{half}", LOWER_LEFT, False),
                          (x, y, f"model-name={model}", LOWER_LEFT, False)])
        self.text(x + 6.7, y + 6.9, f"{name}{half}")
        self.text(x + 6.7, y + 4.8, shown)
        self.supply("VDD", x + 5, y + 6)
        self.ground(x + 5, y - 2)

    def block(self, name, value, x, y, width, left=(), right=(), model=None):
        """A box, its upper left corner at (x, y), with pins (number, words, net or None) down its sides, which
        stick out by 3. A pin with a net is joined to it by name."""
        step = 4
        height = step * (max(len(left), len(right)) + 1)
        own = [f"B {self._at(x, y - height)} {self._size(width)} {self._size(height)} 3 0 0 0 -1 -1 0 -1 -1 -1 -1 -1"]
        order = 0
        for side, pins in (("left", left), ("right", right)):
            for row, pin in enumerate(pins, start=1):
                order += 1
                own += self._pin(order, pin, side, x if side == "left" else x + width, y - step * row)
        self.lines += [f"C {self._at(x, y)} 1 0 0 EMBEDDED{name}.sym", "[", *own, "]"]
        attributes = [(x, y + 0.6, f"refdes={'X' if model else ''}{name}", LOWER_LEFT, not model),
                      (x + width / 2, y - height - 0.6, f"value={value}", UPPER_MIDDLE, True)]
        if model:
            attributes.append((x, y, f"model-name={model}", LOWER_LEFT, False))
        self._attributes(attributes)
        if model:
            self.text(x, y + 0.6, name)
        for side, pins in (("left", left), ("right", right)):
            for row, pin in enumerate(pins, start=1):
                if pin[2]:
                    end = (x - 3 if side == "left" else x + width + 3, y - step * row)
                    if pin[2] == "GND":
                        self.ground(*end)
                    elif pin[2] == FREE:
                        self.port(f"{name}_{pin[0]}", *end, side, shown="free")
                    else:
                        self.port(pin[2], *end, side)

    def jack(self, name, net, x, y, words):
        """A terminal to the world, which names the wire that begins at (x, y)."""
        own = [f"V {self._at(x - 4, y)} {GRID} 3 0 0 0 -1 -1 0 -1 -1 -1 -1 -1", *self._graphic_pin(1, x, y, x - 3, y)]
        self.lines += [f"C {self._at(x, y)} 1 0 0 EMBEDDED{name}.sym", "[", *own, "]"]
        self._attributes([(x, y, f"net={net}:1", LOWER_LEFT, False)])
        self.text(x - 4, y + 1.6, name, align=LOWER_MIDDLE)
        self.text(x - 6, y, words, align=MIDDLE_RIGHT)

    def write(self, path):
        path.write_text("\n".join(self.lines) + "\n", encoding="utf-8")

    def transistor(self, symbol, name, value, x, y):
        """Its gate at (x, y), drain and source 5 to the right: of n type the drain 6 above and the source 2 below,
        of p type the source 2 above and the drain 6 below."""
        if symbol.startswith("p"):
            self.lines.append(f"C {self._at(x, y + 2)} 1 180 1 {symbol}")
            middle = y - 2
        else:
            self.lines.append(f"C {self._at(x, y - 2)} 1 0 0 {symbol}")
            middle = y + 2
        self._attributes([(x + 6.5, middle + 0.3, f"refdes={name}", LOWER_LEFT, True),
                          (x + 6.5, middle - 0.3, f"value={value}", UPPER_LEFT, True),
                          (x, y, "symversion=0.1", LOWER_LEFT, False)])

    def _pin(self, order, pin, side, x, y):
        # Without a number: by its name, which the data sheet numbers for the package that is bought.
        number, words, _ = pin
        out, inside, align = (x - 3, x + 1, MIDDLE_LEFT) if side == "left" else (x + 3, x - 1, MIDDLE_RIGHT)
        number_at = (x - 0.5, 6) if side == "left" else (x + 0.5, 0)
        return [f"P {self._at(out, y)} {self._at(x, y)} 1 0 0", "{", *self._hidden(f"pinseq={order}"),
                f"T {self._at(number_at[0], y + 0.4)} 5 7 {int(number is not None)} 1 0 {number_at[1]} 1",
                f"pinnumber={words if number is None else number}",
                f"T {self._at(inside, y)} 9 9 1 1 0 {align} 1", f"pinlabel={words}", *self._hidden("pintype=pas"), "}"]

    def _graphic_pin(self, order, x, y, to_x, to_y):
        """Without number and words."""
        return [f"P {self._at(x, y)} {self._at(to_x, to_y)} 1 0 0", "{", *self._hidden(f"pinseq={order}"),
                *self._hidden(f"pinnumber={order}"), *self._hidden(f"pinlabel={order}"),
                *self._hidden("pintype=pas"), "}"]

    def _attributes(self, attributes):
        self.lines.append("{")
        for x, y, words, align, seen in attributes:
            self._text(x, y, words, align=align, seen=seen, named=True)
        self.lines.append("}")

    def _text(self, x, y, words, align=0, size=10, seen=True, named=False):
        # 1: of "name=value" only the value is drawn.
        colour, show = (5, 1) if named else (9, 0)
        count = words.count("\n") + 1
        self.lines += [f"T {self._at(x, y)} {colour} {size} {int(seen)} {show} 0 {align} {count}", words]

    def _hidden(self, words):
        return [f"T 0 0 5 8 0 1 0 0 1", words]

    def _at(self, x, y):
        return f"{round(x * GRID)} {round(y * GRID)}"

    def _size(self, length):
        return round(length * GRID)

"""What must not break it: 24 V and 12 V on an electrode, on both, and discharges."""
from circuit import OPEN_OHM
from row import Row

# The supply as it is: a regulator that gives and does not take, and the zener.
REGULATED = [(r"^Vsupply .*", "Xregulator VDD REGULATOR"), (r"^Rsupply .*", "")]
# The electrode's lead on a battery whose other end is on the hull.
BATTERY = {"source_ohm_a": 1, "clip_ohm": 1}


def voltage(circuit, _assumed):
    rows = []
    for volts in (24, -24, 12, -12):
        printed, _ = circuit.simulate("op\nprint i(vcell_a) v(filtered_a) v(com) v(vdd)\n", changes=REGULATED,
                                      potential_v=-volts, source_ohm_b=OPEN_OHM, **BATTERY)
        where = f"{volts:+d} V on cell A"
        rows.append(Row("current of the electrode at fault", where, 1e6 * abs(printed["i(vcell_a)"]), "uA", 0, 100))
        rows.append(Row("input of the buffer at fault", where, printed["v(filtered_a)"], "V", -0.7, 4.4))
        rows.append(Row("COM at fault", where, printed["v(com)"], "V", 1.02, 1.03))
    for words, buffer_a in (("buffers of 23 uA", 23e-6), ("buffers of 17 uA", 17e-6), ("buffers of 1 uA", 1e-6)):
        printed, _ = circuit.simulate("op\nprint v(vdd)\n", changes=REGULATED, potential_v=-24, source_ohm_a=1,
                                      source_ohm_b=1, buffer_a=buffer_a)
        rows.append(Row("VDD at fault", f"+24 V on both cells; {words}", printed["v(vdd)"], "V", 3.2, 4.5))
    return rows


def discharge(circuit, _assumed):
    """150 pF by way of 330 ohm onto cell A's jack, which hangs free; the return is COM."""
    rows = []
    for kilovolts in (8, 15):
        gun = (r"^Rsource_a .*", f"Vgun charger COM {kilovolts}k\nVclose close 0 PWL(0 0 1u 0 1.1u 1)\n"
                                 "Scharge charger gun close 0 charge\nSgun gun tip close 0 strike\nCgun gun COM 150p\n"
                                 "Rgun tip CELL_A 330\nRsource_a CELL_A metal_a 1e13\n"
                                 ".model charge SW(vt=0.5 ron=1e17 roff=1)\n.model strike SW(vt=0.5 ron=1 roff=1e17)")
        for words, more in (("R11 holds", []), ("R11 flashes over", [(r"^R11 (\S+) (\S+) .*", r"R11 \1 \2 10")])):
            printed, _ = circuit.simulate(
                "tran 0.5u 2m 0 0.5u\nlet filter = v(between_a) - v(com)\nlet buffer = v(between_a, filtered_a)\n"
                "print vecmax(filter) vecmax(abs(buffer))\n",
                changes=[gun, *more], source_ohm_b=OPEN_OHM)
            where = f"{kilovolts} kV; {words}"
            rows.append(Row("discharge: first capacitor above COM", where, printed["vecmax(filter)"], "V", None, 20))
            rows.append(Row("discharge: across R12, before the buffer", where, printed["vecmax(abs(buffer))"], "V", None,
                            20))
    return rows

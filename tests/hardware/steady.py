"""What does not change with time: DC errors and currents, what AC leaves and how loud the amplifiers hear it."""
import math

from circuit import OPEN_OHM
from row import Row

# Words, bias at 25 degC, what it grows by in 10 K, insulation of each film capacitor. Assumptions: a buffer as
# its data sheet's typical figures have it, a bad one of another kind, and the worst of the zero-drift ones.
LEAKS = [("typical (5 pA; 100 Gohm)", 5e-12, 2, 100e9),
         ("poor (20 pA; 30 Gohm)", 20e-12, 2, 30e9),
         ("worst chopper (200 pA; 30 Gohm)", 200e-12, 1, 30e9)]
TEMPERATURES_C = (0, 25, 50)
SOURCES_OHM = (1, 1e3, 10e3, 100e3)
POTENTIALS_V = (-1.8, -1.1, 0.6)
CALIBRATED_V = (-1.5, 0.3)
PRECISE = "option reltol=1e-7 abstol=1e-17 gmin=1e-17\n"


def ohms(value):
    if value >= OPEN_OHM:
        return "open"
    if value <= 1:
        return "0 ohm"
    return f"{value / 1e6:g} Mohm" if value >= 1e6 else f"{value / 1e3:g} kohm"


def readings(circuit, sources, potentials, **parameters):
    """(source, potential) -> potential as read and current of the electrode."""
    cases = [(source, potential) for source in sources for potential in potentials]
    control = PRECISE
    for i, (source, potential) in enumerate(cases):
        control += (f"alter Rsource_a = {source:g}\nalter Vcell_a = {-potential:g}\nalter Vcell_b = {-potential:g}\nop\n"
                    f"let read{i} = v(com) - v(ain0)\nlet current{i} = i(vcell_a)\nprint read{i} current{i}\n")
    printed, _ = circuit.simulate(control, **parameters)
    return {case: (printed[f"read{i}"], printed[f"current{i}"]) for i, case in enumerate(cases)}


def dc(circuit, assumed):
    rows = []
    for words, bias_a, growth, insulation_ohm in LEAKS:
        cases = {t: readings(circuit, (*SOURCES_OHM, 10e6), (*POTENTIALS_V, *CALIBRATED_V),
                             bias_a=bias_a * growth ** ((t - 25) / 10), insulation_ohm=insulation_ohm)
                 for t in TEMPERATURES_C}
        low, high = (cases[25][1, potential][0] for potential in CALIBRATED_V)
        gain = (CALIBRATED_V[1] - CALIBRATED_V[0]) / (high - low)
        error_uv = lambda t, source, potential: 1e6 * (
            CALIBRATED_V[0] + gain * (cases[t][source, potential][0] - low) - potential)
        for t in TEMPERATURES_C:
            for source in SOURCES_OHM:
                worst = max(abs(error_uv(t, source, potential)) for potential in POTENTIALS_V)
                # Half of the 0.25 mV that a calibrated logger is verified to.
                rows.append(Row("DC error after calibration at 25 degC", f"{words}; {t} degC; source {ohms(source)}",
                                worst, "uV", 0, 125))
            current = max(abs(cases[t][1, potential][1]) for potential in POTENTIALS_V)
            rows.append(Row("current of the electrode", f"{words}; {t} degC", 1e12 * current, "pA", 0, 1000))
        limit_mv = assumed["host_behind_100_kohm_mv"]
        shift = lambda source: abs(cases[25][source, -1.1][0] - cases[25][1, -1.1][0]) * 1e3
        rows.append(Row("shift of the DC behind a resistor", f"{words}; 100 kohm", shift(100e3), "mV", 0, limit_mv.value))
        rows.append(Row("shift of the DC behind a resistor", f"{words}; 10 Mohm", shift(10e6), "mV", 0,
                        assumed["host_behind_10_mohm_mv"].value))
    return rows


def com(circuit, assumed):
    printed, _ = circuit.simulate("op\nprint v(com) v(ain2)\n", source_ohm_b=OPEN_OHM)
    return [Row("COM", "both cells joined", 1e3 * printed["v(com)"], "mV", 1021.44, 1026.56, *assumed["com_mv"], 0.001),
            Row("zero check", "AIN2 against COM", 1e6 * abs(printed["v(ain2)"] - printed["v(com)"]), "uV", 0, 188)]


def ac(circuit, assumed):
    rows = []
    heard = {}
    for source in (1, 1e3, 10e3, 100e3):
        control = "".join(f"ac lin 1 {hz} {hz}\nlet filter_{hz} = mag(v(ain0) - v(com))\nlet gain_{hz} = mag(v(ac_a))\n"
                          f"print filter_{hz} gain_{hz}\n" for hz in (50, 60))
        printed, _ = circuit.simulate(control, source_ohm_a=source, source_ohm_b=OPEN_OHM, ac_b=0)
        for hz in (50, 60):
            heard[source, hz] = printed[f"gain_{hz}"]
            if source == 1:
                continue
            left_db = 20 * math.log10(printed[f"filter_{hz}"])
            told = assumed[f"bench_filter_db_{hz}"] if source == 1e3 else (None, "")
            rows.append(Row("AC at the cell converter", f"{hz} Hz; source {ohms(source)}", left_db, "dB", None, -60,
                            *told, 0.01))
            # What 2 V rms leave at worst, averaged over a conversion of 125 ms within 10 %.
            peak_uv = 2e6 * math.sqrt(2) * printed[f"filter_{hz}"]
            cycles = [hz * 0.125 * (0.9 + 0.2 * i / 200) for i in range(201)]
            worst = max(abs(math.sin(math.pi * n) / (math.pi * n)) for n in cycles)
            rows.append(Row("2 V rms of AC in one conversion", f"{hz} Hz; source {ohms(source)}", peak_uv * worst, "uV", 0,
                            150))
    for hz in (50, 60):
        gain = heard[1, hz]
        rows.append(Row("gain to the AC input", f"{hz} Hz", gain, "", 0.28, 0.295, *assumed["ac_gain"], 0.02))
        rows.append(Row("gain to the AC input", f"{hz} Hz", gain, "", 0.28, 0.295, *assumed[f"bench_ac_gain_{hz}"], 0.02))
    for source in (10e3, 100e3):
        kept = heard[source, 50] / heard[1, 50]
        for who in ("firmware", "bench"):
            rows.append(Row("AC left by the source's resistance", f"50 Hz; {ohms(source)}", kept, "", None, None,
                            *assumed[f"{who}_ac_kept_{source:.0f}"], 0.02))
    return rows

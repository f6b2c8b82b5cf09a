"""What moves: settling, AC as it clips, the stimulus and what it does to the DC."""
import math
import subprocess

from circuit import OPEN_OHM, at
from row import Row
from steady import ohms

# As the firmware's lock-in weighs the eight phases of a cycle (logger/burst.h): 1300 times the peak in steps.
WEIGHTS = (5, 12, 12, 5, -5, -12, -12, -5)
QUARTER = 2
SAMPLES, PHASES = 200, 8
PEAK_TO_SUM = 1300
STEPS = 1024


def last_outside(times, values, band):
    end = values[-1]
    return max((t for t, value in zip(times, values) if abs(value - end) > band), default=0)


def settling(circuit, assumed):
    rows = []
    for source in (1e3, 10e3, 100e3):
        for words, change in (
                ("power-up", (r"^Vsupply vdd_ideal 0 .*", "Vsupply vdd_ideal 0 PWL(0 0 1m 0 2m 3.3)")),
                ("clip-on", (r"^Rclip .*", "Vclip close 0 PWL(0 0 1m 0 2m 1)\nSclip WATER HULL close 0 clip\n"
                                           ".model clip SW(vt=0.5 ron=1 roff=1e13)"))):
            _, (times, values) = circuit.simulate("tran 5m 8 0 5m\nlet read = v(ain0) - v(com)\nwrdata {data} read",
                                                  changes=[change], potential_v=-1.8, source_ohm_a=source)
            told = assumed["bench_settling_s"] if (words, source) == ("power-up", 1e3) else (None, "")
            rows.append(Row("settling to 0.1 mV", f"{words} at -1.8 V; source {ohms(source)}",
                            last_outside(times, values, 1e-4), "s", 0, assumed["settling_s"].value, *told, 0.25))
    return rows


def open_drift(circuit, assumed):
    change = (r"^Rsource_a .*", "Vopen open 0 PWL(0 1 1m 1 2m 0)\nSopen CELL_A metal_a open 0 lead\n"
                                ".model lead SW(vt=0.5 ron=1k roff=1e14)")
    _, (times, values) = circuit.simulate("option reltol=1e-6 abstol=1e-16 gmin=1e-16\ntran 0.1 62 0 0.1\n"
                                          "let read = v(ain0) - v(com)\nwrdata {data} read", changes=[change])
    drift_mv = lambda after: 1e3 * abs(at(times, values, after) - values[0])
    # What leaks is an assumption, here and there.
    return [Row("drift of an open lead", "typical; after 10 s", drift_mv(10), "mV", 0, 5),
            Row("drift of an open lead", "typical; after 60 s", drift_mv(60), "mV", 0, 30, *assumed["bench_open_drift_60_s"],
                0.5)]


def clipping(circuit, assumed):
    """The AC at the cell that first takes the output below what the firmware calls clipped, and whether the
    amplifier is still straight there."""
    def swing(rms_v):
        wave = (r"^Vcell_a .*", f"Vcell_a metal_a WATER SIN(1.1 {rms_v * math.sqrt(2):g} 50)")
        _, (_, values) = circuit.simulate("tran 50u 0.4 0.2 50u\nwrdata {data} v(ac_a)", changes=[wave],
                                          source_ohm_a=1, source_ohm_b=OPEN_OHM)
        return min(values), (max(values) - min(values)) / 2 / math.sqrt(2) / rms_v
    threshold_v = assumed["ac_clips_below"].value / STEPS * assumed["supply_mv"].value * 1e-3
    below, above = 2.0, 3.0
    for _ in range(7):
        middle = (below + above) / 2
        below, above = (middle, above) if swing(middle)[0] > threshold_v else (below, middle)
    quiet = swing(0.1)[1]
    return [Row("AC from which it is called clipped", "50 Hz rms", above, "V", 2.2, None, 2.4, "firmware/logger/burst.h",
                0.02),
            Row("gain at 2 V rms over gain at 0.1 V", "50 Hz", swing(2.0)[1] / quiet, "", 0.99, 1.01)]


class Stimulus:
    """A burst as the firmware gives it: 200 samples to settle, 200 that count; then the pin rests."""
    BEGIN_S = 0.05

    def __init__(self, circuit, assumed):
        self.circuit, self.assumed = circuit, assumed
        self.sample_s = assumed["sample_s"].value
        self.supply_v = assumed["supply_mv"].value * 1e-3
        self.end_s = self.BEGIN_S + 2 * SAMPLES * self.sample_s

    def run(self, column, stop_s, step_s, **parameters):
        half_s = PHASES / 2 * self.sample_s
        pulses = SAMPLES * 2 // PHASES
        pin = f"PULSE(0 {self.supply_v} {self.BEGIN_S} 1u 1u {half_s - 1e-6} {2 * half_s} {pulses})"
        change = (r"^Vstimulus_a STIMULUS_A 0 0", f"Vstimulus_a STIMULUS_A 0 {pin}")
        _, (times, values) = self.circuit.simulate(
            f"tran {step_s} {stop_s} 0 {step_s}\nlet wanted = {column}\nwrdata {{data}} wanted", changes=[change],
            **parameters)
        return times, values

    def samples(self, **parameters):
        """In steps of the microcontroller's converter, not rounded."""
        times, values = self.run("v(ac_a)", self.end_s, 1e-4, **parameters)
        hold_s = 13.6e-6 # from a conversion's start to its hold: 1.5 cycles of the converter's clock
        return [at(times, values, self.BEGIN_S + (SAMPLES + i) * self.sample_s + hold_s) / self.supply_v * STEPS
                for i in range(SAMPLES)]

    def peak_mv(self, **parameters):
        by_phase = [0.0] * PHASES
        for i, sample in enumerate(self.samples(**parameters)):
            by_phase[i % PHASES] += sample
        in_step = sum(w * part for w, part in zip(WEIGHTS, by_phase))
        aside = sum(WEIGHTS[(i + QUARTER) % PHASES] * part for i, part in enumerate(by_phase))
        return math.hypot(in_step, aside) / PEAK_TO_SUM * self.supply_v * 1e3 / STEPS

    def source_code(self, program, **parameters):
        """By the firmware's own lines."""
        words = " ".join(str(math.floor(sample)) for sample in self.samples(**parameters))
        told = subprocess.run([program, "--source-code"], input=words, capture_output=True, text=True, check=True)
        return int(told.stdout)


def stimulus(circuit, assumed, program):
    burst = Stimulus(circuit, assumed)
    name = "answer to the stimulus"
    alone = {"source_ohm_b": OPEN_OHM}
    rows = []
    for source in (1, 10e3, 30e3, 100e3, 300e3, 1e6):
        ohm = 0 if source == 1 else source
        peak = burst.peak_mv(source_ohm_a=source, **alone)
        high = assumed["stimulus_drying_mv"].value if source <= 100e3 else None
        low = assumed["stimulus_not_good_mv"].value if source >= 300e3 else None
        for who in ("firmware", "bench", "host"):
            told = assumed.get(f"{who}_stimulus_{ohm:.0f}")
            if told:
                rows.append(Row(name, ohms(source), peak, "mV", low, high, *told, 0.02))
    not_good = assumed["stimulus_not_good_mv"].value
    opened = burst.peak_mv(source_ohm_a=OPEN_OHM, **alone)
    rows += [Row(name, "open", opened, "mV", not_good, None, *assumed[key], 0.02)
             for key in ("stimulus_open_mv", "bench_open_mv")]
    rows.append(Row(name, "open; 3 nF of cable", burst.peak_mv(source_ohm_a=OPEN_OHM, cable_f=3e-9, **alone), "mV",
                    assumed["host_stimulus_open_low"].value, None, *assumed["bench_open_3_nf_mv"], 0.02))
    rows.append(Row(name, "clip off; no cell B", burst.peak_mv(clip_ohm=OPEN_OHM, **alone), "mV", not_good, None,
                    *assumed["bench_open_mv"], 0.02))
    for source in (1, 10e3, 30e3):
        told = assumed[f"bench_clip_off_{0 if source == 1 else source:.0f}"]
        rows.append(Row(name, f"clip off; B in the water; {ohms(source)} each",
                        burst.peak_mv(clip_ohm=OPEN_OHM, source_ohm_a=source, source_ohm_b=source), "mV", not_good, 118,
                        *told, 0.02))
    rows.append(Row(name, "clip off; B in the water; 0 ohm and 3 nF of cable each",
                    burst.peak_mv(clip_ohm=OPEN_OHM, source_ohm_a=1, source_ohm_b=1, cable_f=3e-9), "mV", not_good, 118,
                    *assumed["bench_clip_off_3_nf"], 0.02))
    rows.append(Row(name, "10 kohm; B in the water too", burst.peak_mv(source_ohm_a=10e3, source_ohm_b=10e3), "mV", None,
                    assumed["stimulus_drying_mv"].value, *assumed["firmware_stimulus_10000"], 0.02))
    for source in (10e3, 30e3, 100e3):
        code = burst.source_code(program, source_ohm_a=source, **alone)
        mv = code * assumed["source_uv_per_code"].value * 1e-3
        open_mv = assumed["stimulus_open_mv"].value
        shown = assumed["stimulus_half_ohm"].value * mv / (open_mv - mv) - assumed["hull_lead_ohm"].value
        rows.append(Row("source resistance as the logger tells it", ohms(source), shown / 1e3, "kohm", 0.85 * source / 1e3,
                        1.15 * source / 1e3))
    return rows


def disturbance(circuit, assumed):
    burst = Stimulus(circuit, assumed)
    rows = []
    for source in (10e3, 100e3):
        times, values = burst.run("v(ain0) - v(com)", burst.end_s + 5, 5e-4, source_ohm_a=source, source_ohm_b=OPEN_OHM)
        rest = values[-1]
        after = [(t, abs(value - rest)) for t, value in zip(times, values)]
        rest_s = assumed["rest_s"].value
        rows.append(Row("disturbance of the DC by a stimulus", f"largest; source {ohms(source)}",
                        1e3 * max(off for _, off in after), "mV", 0, 3, *assumed[f"bench_disturbance_{source:.0f}"], 0.25))
        rows.append(Row("disturbance of the DC by a stimulus", f"{rest_s:g} s after it; source {ohms(source)}",
                        1e3 * max(off for t, off in after if t >= burst.end_s + rest_s), "mV", 0, 0.1))
    return rows

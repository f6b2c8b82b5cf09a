"""When a reading measures what, from the constants of the firmware."""
import re

from sources import ROOT, constants, table

BOARD = "firmware/board/circuit.h"
BURST = "firmware/logger/burst.h"


def plans():
    """(from this interval in seconds, conversions of each cell), the longest interval first."""
    text = (ROOT / "firmware" / "logger" / "plan.h").read_text(encoding="utf-8")
    return [(int(interval), int(count)) for interval, count in
            re.findall(r"\{(\d+), (\d+), (?:true|false)\}", text)]


def burst_ms(counts):
    """200 samples, so many counts of the sampling clock each."""
    counter_hz = constants(BOARD)["cpu_hz"] / 64
    return constants(BURST)["samples_in_burst"] * counts / counter_hz * 1000


def spans():
    """What a reading of both cells with all it may have is made of: (what, cell, milliseconds), in order."""
    board = constants(BOARD)
    conversions = plans()[0][1]
    potential = ("potential", conversions * board["conversion_ms"])
    ac = ("AC", burst_ms(board["ac_sample_counts"]))
    stimulus = ("stimulus", 2 * burst_ms(board["sample_counts"]))  # as long again to settle
    return [(what, cell, ms) for what, ms in (potential, ac, stimulus) for cell in "AB"]


def spans_table():
    board, conversions = constants(BOARD), plans()[0][1]
    plan, bursts = constants("firmware/logger/plan.h"), dict()
    for what, _, ms in spans():
        bursts[what] = ms
    minutes = plan["stimulus_every_s"] // 60
    lines = [["potential", f"{conversions} × {board['conversion_ms']} ms = {bursts['potential']:.0f} ms",
              "in every reading; below 4 s fewer conversions"],
             ["AC", f"{bursts['AC']:.0f} ms", f"every {plan['ac_every_s']} s, or in every reading"],
             ["stimulus", f"{bursts['stimulus']:.0f} ms",
              f"every {minutes} min; every {plan['stimulus_every_watched_s']} s while a computer looks on"],
             ["rest", f"{board['rest_ticks'] - 1} to {board['rest_ticks']} s", "after a stimulus; marked unsettled"],
             ["start", f"{board['settling_s']} s", "after power-up; marked unsettled"]]
    return table(["what", "takes, each cell", "when"], lines)

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


def spans_table():
    board, plan, conversions = constants(BOARD), constants("firmware/logger/plan.h"), plans()[0][1]
    potential_ms = conversions * board["conversion_ms"]
    lines = [["potential", f"{conversions} × {board['conversion_ms']} ms = {potential_ms} ms",
              "in every reading; below 4 s fewer conversions"],
             ["AC", f"{burst_ms(board['ac_sample_counts']):.0f} ms", f"every {plan['ac_every_s']} s, or in every reading"],
             # As long again to settle.
             ["stimulus", f"{2 * burst_ms(board['sample_counts']):.0f} ms",
              f"every {plan['stimulus_every_s'] // 60} min; every {plan['stimulus_every_watched_s']} s while a computer looks on"],
             ["rest", f"{board['rest_ticks'] - 1} to {board['rest_ticks']} s", "after a stimulus; marked unsettled"],
             ["start", f"{board['settling_s']} s", "after power-up; marked unsettled"]]
    return table(["what", "takes, each cell", "when"], lines)

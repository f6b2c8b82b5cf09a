"""The circuit as simulated beside what the firmware assumes, from simulated.csv, which holds every case."""
import re

from sources import NOTES, constants, rows, table

STIMULUS = "answer to the stimulus"


def told(number, unit):
    return f"{number} {unit}".strip() if number else ""


def limit(row):
    low, high = row["limit_low"], row["limit_high"]
    if low and high and float(low) != 0:
        return f"{low} to {high}"
    return f"≤ {high}" if high else f"≥ {low}" if low else ""


def nearness(row):
    """How much of its limit a case takes; the largest is the worst."""
    value, low, high = (float(row[name] or "nan") for name in ("simulated", "limit_low", "limit_high"))
    shares = [value / high if high > 0 else value - high, low - value]
    return max((share for share in shares if share == share), default=0)


def printed(text):
    """Units as the pages write them."""
    return re.sub(r"\bu([AV])\b", r"µ\1", text)


def is_fault(row):
    return "fault" in row["figure"] or row["figure"].startswith("discharge")


def shown():
    """Of each figure the cases for which somebody assumes something, and the worst: lists of rows alike."""
    figures = {}
    for row in rows(NOTES / "simulated.csv"):
        if not is_fault(row):
            figures.setdefault(row["figure"], {}).setdefault(row["condition"], []).append(row)
    for cases in figures.values():
        worst = max(cases.values(), key=lambda same: nearness(same[0]))
        yield from (same for same in cases.values() if same[0]["assumed"] or same is worst)


def simulated_table():
    lines = [[f"{same[0]['figure']}: {same[0]['condition']}", told(same[0]["simulated"], same[0]["unit"]),
              ", ".join(dict.fromkeys(row["assumed"] for row in same if row["assumed"])), limit(same[0])]
             for same in shown()]
    return printed(table(["figure", ">simulated", ">assumed", ">limit"], lines))


def stimulus_table():
    found = {row["condition"]: row["simulated"] for row in rows(NOTES / "simulated.csv") 
             if row["figure"] == STIMULUS and ";" not in row["condition"]}
    board = constants("firmware/board/circuit.h")
    return (table(["at the cell's jack", ">comes back, mV peak"], [[condition, mv] for condition, mv in found.items()])
            + f"\n\n(simulated.) From {board['stimulus_drying_mv']} mV on the logger says that the cell is drying, from "
            f"{board['stimulus_not_good_mv']} mV\nthat the lead is open, the cell dry or the hull's clip off.")


def faults_table():
    found = {}
    for row in rows(NOTES / "simulated.csv"):
        if is_fault(row):
            what = row["figure"].replace(" at fault", "").replace("discharge: ", "")
            found.setdefault(row["condition"], []).append(f"{what} {row['simulated']} {row['unit']}")
    return printed(table(["fault", "simulated"], [[fault, "; ".join(shown)] for fault, shown in found.items()]))

"""What the logger draws: currents of firmware/bench/currents.csv times the share of time that the real
firmware on the simulated board keeps each part on, which `tests/perf/energy --keep` left in duty.csv."""
from sources import NOTES, ROOT, rows, table

INTERVALS_S = (1, 10, 60)
KINDS = ("typ_ua", "max_ua")

# Consumers that are told together; all that is left is "the rest".
GROUPS = {
    "microcontroller": lambda row: row["microcontroller"] == "yes",
    "buffers": lambda row: row["consumer"] == "two buffers",
    "cell converter": lambda row: row["consumer"].startswith("cell converter"),
    "memory": lambda row: row["consumer"].startswith("flash"),
    "clock and two-wire bus": lambda row: "clock chip" in row["consumer"] or "two-wire pull-ups" in row["consumer"],
    "thermistor, battery divider": lambda row: row["while"] == "sensors",
    "regulator, zener, COM, AC amplifiers": lambda row: row["while"] == "always",
}


def currents():
    return rows(ROOT / "firmware" / "bench" / "currents.csv")


def figure(name):
    """An input of power_budget.csv."""
    return next(float(row["value"]) for row in rows(NOTES / "power_budget.csv") if row["input"] == name)


def duty(interval_s):
    """Share of the time that each thing lasts."""
    return {row["while"]: float(row[f"every_{interval_s}_s"]) for row in rows(NOTES / "duty.csv")}


def average_ua(row, kind, share):
    return float(row[kind]) * share[row["while"]]


def total_ua(interval_s, kind):
    share = duty(interval_s)
    return sum(average_ua(row, kind, share) for row in currents())


def charge_uah(kind):
    """What the batteries give; in the cold where every part is at its worst."""
    return figure("battery_charge") * 1000 * (figure("left_in_the_cold") if kind == "max_ua" else 1)


def days(interval_s, kind):
    return charge_uah(kind) / total_ua(interval_s, kind) / 24


def asleep_ua(kind, also=("watchdog",), without=""):
    """The circuit at rest."""
    at_rest = ("always", "mcu-power-down", "flash-deep-power-down", *also)
    return sum(float(row[kind]) for row in currents()
               if row["while"] in at_rest and not (without and row["consumer"].startswith(without)))


def parts_table():
    shares = [duty(interval_s) for interval_s in INTERVALS_S]
    left, lines = currents(), []
    for words, belongs in GROUPS.items():
        counted = [row for row in left if belongs(row)]
        left = [row for row in left if not belongs(row)]
        lines.append([words, *(f"{sum(average_ua(row, 'typ_ua', share) for row in counted):.1f}"
                               for share in shares)])
    lines.append(["the rest (lamp, host)", *(f"{sum(average_ua(row, 'typ_ua', share) for row in left):.1f}"
                                             for share in shares)])
    lines.append(["**sum**", *(f"**{total_ua(interval_s, 'typ_ua'):.0f}**" for interval_s in INTERVALS_S)])
    return table(["µA typical, every", *(f">{interval_s} s" for interval_s in INTERVALS_S)], lines)


def totals_table():
    def line(words, figures):
        return [words, *figures]

    def energy_mj(interval_s):
        return total_ua(interval_s, "typ_ua") * interval_s * figure("battery_voltage") / 1000
    return table(
        ["every", *(f">{interval_s} s" for interval_s in INTERVALS_S)],
        [line("typical, µA", [f"{total_ua(s, 'typ_ua'):.0f}" for s in INTERVALS_S]),
         line("every part at its worst, µA", [f"{total_ua(s, 'max_ua'):.0f}" for s in INTERVALS_S]),
         line("a reading costs, mJ", [f"{energy_mj(s):.2g}" for s in INTERVALS_S]),
         line("3 × AA last, days", [f"{days(s, 'typ_ua'):.0f}" for s in INTERVALS_S]),
         line("at their worst and cold, days", [f"{days(s, 'max_ua'):.0f}" for s in INTERVALS_S])])


def asleep_table():
    return table(["µA", ">typical", ">worst"],
                 [["asleep as the firmware sleeps", *(f"{asleep_ua(kind):.0f}" for kind in KINDS)],
                  ["the same without watchdog and zener",
                   *(f"{asleep_ua(kind, (), 'zener'):.0f}" for kind in KINDS)]])


def sources_table():
    """Every consumer that counts, with where its current comes from."""
    lines = [[row["consumer"], f"{float(row['typ_ua']):g} / {float(row['max_ua']):g}", row["status"]]
             for row in currents() if duty(INTERVALS_S[0])[row["while"]] > 0]
    return table(["what", ">µA while on, typ / max", "known by"], lines)

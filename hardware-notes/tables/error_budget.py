"""What the electronics may be wrong by, from error_budget.csv: typical parts count as one standard
deviation, limits as what is never exceeded."""
import tomllib
from math import sqrt

from sources import NOTES, ROOT, constants, rows, table

# For the most negative potential, and for one in the middle; compared at 23 degC and used at 50.
FULL_MV, OTHER_MV = 1800, 1100
SPAN_K = 27

CASES = {
    "one temperature": "compared at one temperature, nothing else",
    "reference check": "the same, with the hourly look at COM",
    "two temperatures": "compared at two temperatures",
}


def terms():
    return rows(NOTES / "error_budget.csv")


def microvolts(term, column, at_mv=FULL_MV):
    """One figure of a term, at a potential."""
    lsb_uv = constants("firmware/board/circuit.h")["converter_lsb_nv"] / 1000
    unit_uv = {"uV": 1, "LSB": lsb_uv, "LSB/K": lsb_uv * SPAN_K,
               "ppm": FULL_MV / 1000, "ppm/K": FULL_MV / 1000 * SPAN_K}[term["unit"]]
    share = at_mv / FULL_MV if term["grows_with_potential"] == "yes" else 1
    return float(term[column]) * unit_uv * share


def total_mv(case, at_mv):
    """Expanded uncertainty (k = 2), root of the sum of the squares of all limits, and their plain sum."""
    counted = [term for term in terms() if term["case"] in ("", case)]
    typical = [microvolts(term, "typical_left", at_mv) for term in counted]
    limits = [microvolts(term, "limit_left", at_mv) for term in counted]

    def root(values):
        return sqrt(sum(value * value for value in values))
    return 2 * root(typical) / 1000, root(limits) / 1000, sum(limits) / 1000


def counted_mv(temperatures):
    """What the host takes the electronics to be right within."""
    with open(ROOT / "host" / "electrode" / "budget.toml", "rb") as file:
        return tomllib.load(file)[f"electronics_{temperatures}"]["value_mv"]


def terms_table():
    def pair(term, typical, limit):
        return f"{microvolts(term, typical):.0f} / {microvolts(term, limit):.0f}"
    lines = [[term["source"] + (f" ({term['case']})" if term["case"] else ""),
              pair(term, "typical", "limit"), pair(term, "typical_left", "limit_left"), term["status"]]
             for term in terms()]
    return table(["µV, typical / limit", ">before", ">left", "status"], lines)


def totals_table():
    lines = [[words, f"{at_mv / -1000:.1f} V", *(f"{mv:.2f}" for mv in total_mv(case, at_mv))]
             for case, words in CASES.items() for at_mv in (FULL_MV, OTHER_MV)]
    one, two = counted_mv("one_temperature"), counted_mv("two_temperatures")
    return (table(["mV", "at", ">k = 2", ">root", ">sum"], lines)
            + f"\n\nThe program counts the sums, rounded: {one} mV for a logger compared at one temperature, {two} mV at two.")


def sources_table():
    """Where each figure comes from."""
    return table(["what", "from"], [[term["source"], term["from"]] for term in terms()])


def instruments_table():
    """What the multimeter of the comparison adds, at most."""
    def limit_mv(meter, at_mv):
        return at_mv * float(meter["percent"]) / 100 + int(meter["digits"]) * float(meter["digit_mv"])
    lines = [[f"{meter['multimeter']}, {meter['percent']} % + {meter['digits']} digits",
              *(f"{limit_mv(meter, at_mv):.2f}" for at_mv in (FULL_MV, OTHER_MV))]
             for meter in rows(NOTES / "multimeters.csv")]
    return table(["mV, at most", ">at -1.8 V", ">at -1.1 V"], lines)

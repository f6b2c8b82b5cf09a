"""One line of the table of results, and how it is judged."""
import csv
import io
from dataclasses import dataclass

COLUMNS = ["figure", "condition", "simulated", "unit", "assumed", "assumed_in", "limit_low", "limit_high", "status"]


@dataclass(frozen=True)
class Row:
    figure: str
    condition: str
    simulated: float
    unit: str
    low: float | None = None
    high: float | None = None
    # What somebody takes it for, where, and how far off that may be, as a share of the larger of both.
    assumed: float | None = None
    assumed_in: str = ""
    within: float = 0

    @property
    def kept(self):
        return (self.low is None or self.simulated >= self.low) and (self.high is None or self.simulated <= self.high)

    @property
    def off(self):
        return abs(self.simulated - self.assumed) / max(abs(self.simulated), abs(self.assumed))

    @property
    def agreed(self):
        return self.assumed is None or self.off <= self.within

    @property
    def status(self):
        if not self.kept:
            return "OUTSIDE THE LIMIT"
        if not self.agreed:
            return f"DISAGREES by {100 * self.off:.0f} % where {100 * self.within:g} are allowed"
        if self.assumed is None:
            return "within the limit"
        return f"agrees within {100 * self.within:g} %"

    def fields(self):
        return [self.figure, self.condition, told(self.simulated), self.unit, told(self.assumed), self.assumed_in,
                told(self.low), told(self.high), self.status]


def told(number):
    if number is None:
        return ""
    return f"{number:.4g}" if abs(number) >= 0.01 else f"{number:.2f}" if number else "0"


def table(rows):
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(row.fields() for row in rows)
    return out.getvalue()

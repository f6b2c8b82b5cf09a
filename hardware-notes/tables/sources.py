"""What the tables are made from, read where it is stated."""
import csv
import re
from pathlib import Path

NOTES = Path(__file__).resolve().parents[1]
ROOT = NOTES.parent


def rows(path):
    """The lines of a CSV with a header, as dictionaries of text."""
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def constants(path):
    """The whole numbers that a header of the firmware states: `constexpr TYPE NAME = NUMBER;`."""
    text = (ROOT / path).read_text(encoding="utf-8")
    return {name: int(value) for name, value in
            re.findall(r"constexpr \w+ (\w+) = (\d+)(?:UL?)?;", text)}


def table(header, lines):
    """A table of Markdown; a title that begins with '>' heads a column of numbers."""
    rule = ["---:" if title.startswith(">") else "---" for title in header]
    return "\n".join("| " + " | ".join(cells) + " |"
                     for cells in [[title.lstrip(">") for title in header], rule, *lines])

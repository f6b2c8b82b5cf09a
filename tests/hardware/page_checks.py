"""What can be wrong with a page. Each check takes text and returns complaints, so that a test can also
show it a page that is wrong."""
import re
import xml.etree.ElementTree as ElementTree

FENCED = re.compile(r"^```.*?^```", re.DOTALL | re.MULTILINE)
INLINE = re.compile(r"`[^`\n]*`")
LINK = re.compile(r"\]\(([^)\s]+)\)|<\w+[^>]*\s(?:src|href)=\"([^\"]+)\"")
PATH = re.compile(r"`((?:firmware|host|hardware-notes|tests)/[\w./-]+)`")
STATUSES = {"data sheet", "read", "memory", "simulated", "computed", "estimate", "transcribed"}
MOST_COLUMNS, LONGEST_WORD = 5, 24
SMALLEST_FONT, PHONE_WIDTH = 13, 400


def anchors(text):
    """The anchors of a page's headings, as GitHub and others make them."""
    found = []
    for heading in re.findall(r"^#+ +(.+?) *$", FENCED.sub("", text), re.MULTILINE):
        words = re.sub(r"\]\([^)]*\)|[`*\[]", "", heading).lower()
        slug = re.sub(r"[^\w\- ]", "", words).replace(" ", "-")
        found.append(slug if slug not in found else f"{slug}-{found.count(slug)}")
    return found


def broken_links(page, text, read):
    """Links and paths that lead nowhere. `read` gives the text of a file, or None where there is none."""
    complaints = []
    for target in (first or second for first, second in LINK.findall(INLINE.sub("", FENCED.sub("", text)))):
        if re.match(r"[a-z]+:", target):
            continue
        name, _, anchor = target.partition("#")
        path = (page.parent / name).resolve() if name else page
        there = text if path == page else read(path)
        if there is None:
            complaints.append(f"{page.name}: {target} does not exist")
        elif anchor and anchor not in anchors(there):
            complaints.append(f"{page.name}: {target} has no such heading")
    return complaints


def missing_paths(page, text, exists):
    """Files of the tree that a page names between backticks and that are not there."""
    return [f"{page.name}: {path} does not exist" for path in PATH.findall(FENCED.sub("", text)) if not exists(path)]


def tables(text):
    """Each table: its rows, each a list of cells, without the rule."""
    lines = FENCED.sub("", text).splitlines()
    found, rows = [], []
    for line in [*lines, ""]:
        if line.startswith("|"):
            cells = [cell.strip() for cell in line.strip().strip("|").split("|")]
            if not all(re.fullmatch(r":?-+:?", cell) for cell in cells):
                rows.append(cells)
        elif rows:
            found.append(rows)
            rows = []
    return found


def odd_tables(page, text):
    """Tables that a telephone cannot show, and rows that are no rows of theirs."""
    complaints = []
    for rows in tables(text):
        if len(rows[0]) > MOST_COLUMNS:
            complaints.append(f"{page.name}: {len(rows[0])} columns in {rows[0]}")
        complaints += [f"{page.name}: {row} does not fit {rows[0]}" for row in rows if len(row) != len(rows[0])]
        words = (word for row in rows for cell in row for word in re.sub(r"\]\([^)]*\)", "", cell).split())
        complaints += [f"{page.name}: {word} is too long for a cell" for word in words if len(word) > LONGEST_WORD]
    return complaints


def without_status(page, text):
    """Rows under a heading `status` that do not say how the figure is known."""
    return [f"{page.name}: {row}" for rows in tables(text) if "status" in rows[0]
            for row in rows[1:] if row[rows[0].index("status")] not in STATUSES]


def pins_of(header):
    """Name -> pin as "PB2", from pins.h."""
    pins = {name: f"P{port}{bit}" for name, port, bit in
            re.findall(r"constexpr Pin (\w+)\{'(\w)',\s*(\d)\}", header)}
    return pins | {name: f"PC{channel}" for name, channel in
                   re.findall(r"constexpr uint8_t (adc_\w+) = (\d);", header)}


def odd_pins(header, text):
    """Where the page's pins are not those of the header."""
    told = {row[2].strip("`"): row[0] for rows in tables(text) if rows[0][:3] == ["pin", "DIP", "firmware"]
            for row in rows[1:] if row[2].startswith("`")}
    wanted = pins_of(header)
    return [f"{name}: {told.get(name)} in the page, {wanted.get(name)} in pins.h"
            for name in sorted(told.keys() | wanted.keys()) if told.get(name) != wanted.get(name)]


def odd_legs(drawn, text):
    """Where the page's legs of the microcontroller are not those of the sheet: `drawn` is pin -> leg."""
    told = {}
    for row in (row for rows in tables(text) if rows[0][:2] == ["pin", "DIP"] for row in rows[1:]):
        told |= zip(row[0].split(", "), map(int, row[1].split(", ")))
    return [f"{pin}: leg {told.get(pin)} in the page, {drawn.get(pin)} in the drawing"
            for pin in sorted(told.keys() | drawn.keys()) if told.get(pin) != drawn.get(pin)]


def values_of(sheet):
    """Name -> value of the resistors and capacitors of a Lepton sheet."""
    pairs = re.findall(r"^refdes=([RC]\d+)$.*?^value=(\S+)", sheet, re.DOTALL | re.MULTILINE)
    return {name: plain(value) for name, value in pairs}


def plain(value):
    """470k, 470 kΩ and 470 kohm alike; 2.2Meg and 2.2 MΩ."""
    return re.sub(r"\s|ohm|Ω|F$", "", value).replace("Meg", "M").replace("µ", "u")


def names_of(cell):
    """"R15, R25" and "C43 to C46", one by one."""
    ranges = re.sub(r"([RC])(\d+) to \1(\d+)", lambda found: " ".join(
        f"{found[1]}{number}" for number in range(int(found[2]), int(found[3]) + 1)), cell)
    return re.findall(r"\b[RC]\d+\b", ranges)


def odd_values(sheets, text):
    """Where the values in the page's tables are not those of the sheets, and parts that only one of them has."""
    drawn = {name: value for sheet in sheets for name, value in values_of(sheet).items()}
    told = {}
    for row in (row for rows in tables(text) if rows[0][:2] == ["part", "value"] for row in rows[1:]):
        names, values = names_of(row[0]), [plain(value) for value in row[1].split(",")]
        told |= zip(names, values if len(values) == len(names) else values[:1] * len(names))
    return [f"{name}: {told.get(name)} in the page, {drawn.get(name)} in the drawing"
            for name in sorted(told.keys() | drawn.keys()) if told.get(name) != drawn.get(name)]


def unsuitable_drawing(name, text):
    """A drawing that says nothing to whoever cannot see it, vanishes on a dark page or is illegible small."""
    root = ElementTree.fromstring(text)
    tags = [element.tag.rpartition("}")[2] for element in root]
    width = float(root.get("viewBox").split()[2])
    sizes = [float(size) for size in re.findall(r"font-size[=:]\s*\"?([\d.]+)", text)]
    complaints = [] if "title" in tags and "desc" in tags else [f"{name}: no title, or no description"]
    if not re.search(r"<rect[^>]*fill=\"#f", text):
        complaints.append(f"{name}: no background of its own")
    if not sizes or min(sizes) / width * PHONE_WIDTH < SMALLEST_FONT:
        complaints.append(f"{name}: text of {min(sizes, default=0)} in {width} is too small")
    return complaints

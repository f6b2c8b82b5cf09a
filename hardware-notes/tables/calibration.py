"""The comparison with a multimeter, as host/calibration states it: what is joined, what is accepted."""
import re

from sources import ROOT, table

STRING = r'((?:"[^"]*"\s*)+)'


def joined(literals):
    """Text of neighbouring C++ string literals."""
    return "".join(re.findall(r'"([^"]*)"', literals))


def limits():
    """One dictionary a limit, in the order of the program."""
    text = (ROOT / "host" / "calibration" / "limits.cpp").read_text(encoding="utf-8")
    return [{"what": what, "low": low, "high": high, "unit": unit, "step": int(step)}
            for what, low, high, unit, step in
            re.findall(r'\{"([^"]+)", (-?[\d.]+), (-?[\d.]+), "([^"]*)", \d+, (\d+),', text)]


def steps():
    """One dictionary a step, in the order of the program."""
    source = (ROOT / "host" / "calibration" / "steps.cpp").read_text(encoding="utf-8")
    named = {name: joined(text) for name, text in
             re.findall(rf"constexpr std::string_view (\w+) =\s*{STRING};", source)}
    points = re.search(r"verify_points_mv\[\] = \{([^}]*)\}",
                       (ROOT / "firmware" / "wire" / "calibration.h").read_text(encoding="utf-8"))[1].split(",")

    def millivolts(text):
        place = re.fullmatch(r"wire::verify_points_mv\[(\d)\]", text)
        return int(points[int(place[1])] if place else text)
    found = re.findall(rf"StepKind::(\w+),\s*(\d+|second_temperature_step),\s*(?:(\w+)|{STRING}),\s*"
                       r"([\w:\[\]-]+),\s*(true|false),\s*(\d+),", source)
    return [{"kind": kind, "number": int(number) if number.isdigit() else 9,
             "connect": (named[name] if name else joined(text)).strip(),
             "mv": millivolts(mv), "source": source == "true", "hz": int(place)}
            for kind, number, name, text, mv, source, place in found]


def accepted(limit):
    low, high = float(limit["low"]), float(limit["high"])
    unit = f" {limit['unit']}" if limit["unit"] else ""
    if low == high:
        return f"{low:g}{unit}"
    if low == 0:
        return f"≤ {high:g}{unit}"
    if low == -high:
        return f"within ± {high:g}{unit}"
    return f"{limit['low']} to {limit['high']}{unit}"


def limits_table():
    return table(["step", "what", "accepted"],
                 [["each" if limit["step"] == 0 else str(limit["step"]), limit["what"], accepted(limit)]
                  for limit in sorted(limits(), key=lambda limit: limit["step"] or 99)])


def point(step):
    if step["kind"] == "ac":
        return f"{step['mv']:+d} mV and 1 V of {step['hz']} Hz"
    if step["source"]:
        return f"{step['mv']:+d} mV"
    return re.search(r"with (\d+ kohm)\.", step["connect"])[1] if "kohm" in step["connect"] else (
        "nothing joined" if step["connect"].startswith("Take everything") else "short")


def behind(step):
    found = re.match(r"Put (\d+ [kM]ohm)", step["connect"])
    return f" behind {found[1]}" if found else ""


def steps_list():
    """What the program asks for, in its words; steps that differ in their voltage alone are told once."""
    asked = {}
    for step in steps():
        asked.setdefault((step["number"], step["connect"]), []).append(step)
    return "\n".join(f"- **Step {number}.** {connect}"
                     + (" " + ", then ".join(f"{step['mv']:+d} mV" for step in same) + "." if same[0]["source"] else "")
                     for (number, connect), same in asked.items())


def worksheet():
    lines = [[str(step["number"]), point(step) + behind(step), "" if step["source"] else "-", "", ""]
             for step in steps()]
    return table(["step", "at", "multimeter, mV", "told", "accepted?"], lines)

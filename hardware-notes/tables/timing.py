"""The drawing of a reading's timing: what the real firmware did on the simulated board, from timing.csv."""
from reading import plans
from sources import NOTES, constants, rows

LEFT, PER_S, ROW, TOP = 14, 108, 46, 78
SECONDS = 3
SOLID = 'fill="#0072b2"'
DASHED = 'fill="none" stroke="#1a1a1a" stroke-width="1.4" stroke-dasharray="4 3"'
LEAST_WIDTH = 4  # so that a millisecond can be seen
HEAD = """<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title description" viewBox="0 0 400 {height}" \
font-family="DejaVu Sans, Verdana, Arial, sans-serif" font-size="14">
<title id="title">What a reading measures, and when</title>
<desc id="description">{words}</desc>
<rect width="400" height="{height}" fill="#f4f4f0"/>
"""


def text(x, y, words, more=""):
    return f'<text x="{x:g}" y="{y:g}" fill="#1a1a1a"{more}>{words}</text>'


def bar(y, begin_ms, end_ms, style):
    width = max((end_ms - begin_ms) / 1000 * PER_S, LEAST_WIDTH)
    return f'<rect x="{LEFT + begin_ms / 1000 * PER_S:.1f}" y="{y + 6:g}" width="{width:.1f}" height="16" {style}/>'


def axis(bottom):
    for second in range(SECONDS + 1):
        x = LEFT + second * PER_S
        yield f'<path d="M{x} 54V{bottom}" stroke="#d3d6da" fill="none"/>'
        yield text(x, 48, f"{second} s", ' font-size="13" text-anchor="middle"')


def foot():
    """What of it a reading has."""
    from_s, conversions = plans()[0]
    plan = constants("firmware/logger/plan.h")
    return [f"Potential: in every reading; the mean of {conversions}", f"conversions from an interval of {from_s} s up.",
            f"AC: every {plan['ac_every_s']} s; in every reading where", "the interval is longer.",
            f"Stimulus: every {plan['stimulus_every_s'] // 60} min, likewise; every",
            f"{plan['stimulus_every_watched_s']} s while a computer looks on.",
            "Between all this the controller sleeps."]


def drawing():
    parts, y, told = [], TOP, []
    for row in rows(NOTES / "timing.csv"):
        begin_ms, end_ms = float(row["from_ms"]), float(row["to_ms"])
        rest = row["step"].startswith("rest")
        parts += [text(LEFT, y, f"{row['step']}, {(end_ms - begin_ms) / 1000:.2g} s{' at least' if rest else ''}"),
                  bar(y, begin_ms, end_ms, DASHED if rest else SOLID)]
        told.append(f"{row['step']} from {begin_ms:.0f} to {end_ms:.0f} ms")
        y += ROW
    bottom = y - ROW + 30
    parts += [text(LEFT, bottom + 26 + 20 * line, words) for line, words in enumerate(foot())]
    height = bottom + 26 + 20 * len(foot())
    return (HEAD.format(height=height, words="; ".join(told) + ".")
            + "\n".join([text(LEFT, 24, "A reading with all there is, two cells", ' font-weight="bold"'),
                         *axis(bottom), *parts]) + "\n</svg>\n")

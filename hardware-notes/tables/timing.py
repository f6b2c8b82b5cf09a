"""The drawing of a reading's timing, from the firmware's constants."""
from reading import BOARD, plans, spans
from sources import constants

LEFT, PER_S, ROW, TOP = 122, 64, 30, 74
FILL = {"potential": "#0072b2", "AC": "#b34700", "stimulus": "#8a5a83"}
HEAD = """<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title description" viewBox="0 0 400 {height}" \
font-family="DejaVu Sans, Verdana, Arial, sans-serif" font-size="14">
<title id="title">What a reading measures, and when</title>
<desc id="description">{words}</desc>
<rect width="400" height="{height}" fill="#f4f4f0"/>
"""


def text(x, y, words, more=""):
    return f'<text x="{x:g}" y="{y:g}" fill="#1a1a1a"{more}>{words}</text>'


def bar(y, begin_ms, ms, style):
    return (f'<rect x="{LEFT + begin_ms / 1000 * PER_S:.1f}" y="{y - 14:g}" width="{ms / 1000 * PER_S:.1f}" '
            f'height="18" {style}/>')


def drawing():
    rest_s, plan = constants(BOARD)["rest_ticks"], constants("firmware/logger/plan.h")
    from_s, conversions = plans()[0]
    parts, begin_ms, y, told = [], 0.0, TOP, []
    for what, cell, ms in spans():
        parts += [text(12, y, f"{what} {cell}"), bar(y, begin_ms, ms, f'fill="{FILL[what]}"')]
        parts.append(text(LEFT + (begin_ms + ms) / 1000 * PER_S + 5, y, f"{ms / 1000:.1f} s", ' font-size="13"'))
        told.append(f"{what} {cell} {ms:.0f} ms")
        begin_ms += ms
        y += ROW
    parts += [text(12, y, "water, battery"), bar(y, begin_ms, 60, 'fill="#1a1a1a"'),
              text(LEFT + begin_ms / 1000 * PER_S + 10, y, "then stored", ' font-size="13"')]
    y += ROW
    dashed = 'fill="none" stroke="#1a1a1a" stroke-width="1.4" stroke-dasharray="4 3"'
    parts += [text(12, y, "cells rest"), bar(y, begin_ms, rest_s * 1000, dashed),
              text(LEFT + begin_ms / 1000 * PER_S + 8, y, f"{rest_s - 1} to {rest_s} s", ' font-size="13"')]
    bottom = y + 14
    axis = [text(12, 22, "Both cells, all that a reading may have", ' font-weight="bold"')]
    for second in range(5):
        x = LEFT + second * PER_S
        axis += [f'<path d="M{x} 50V{bottom}" stroke="#b9bdc2" fill="none"/>',
                 text(x, 46, f"{second} s", ' font-size="13" text-anchor="middle"')]
    foot = [f"Potential: in every reading; the mean of {conversions}", f"conversions from an interval of {from_s} s up.",
            f"AC: every {plan['ac_every_s']} s; in every reading where", "the interval is longer.",
            f"Stimulus: every {plan['stimulus_every_s'] // 60} min, likewise; every",
            f"{plan['stimulus_every_watched_s']} s while a computer looks on.",
            "Between all this the controller sleeps."]
    parts += [text(12, bottom + 26 + 20 * line, words) for line, words in enumerate(foot)]
    words = "In this order: " + ", ".join(told) + f"; then water and battery, then {rest_s - 1} to {rest_s} s of rest."
    return (HEAD.format(height=bottom + 26 + 20 * len(foot), words=words)
            + "\n".join(axis + parts) + "\n</svg>\n")

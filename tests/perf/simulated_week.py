#!/usr/bin/env python3
"""How long the main job takes here: a simulated week at one reading per 10 s, its collection over the
pseudo-terminal, its verdict and its figure. Prints a table; judges nothing.

Run after a build: tests/perf/simulated_week.py"""
import os
import platform
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "end_to_end"))
from programs import ROOT, Bench, quaycell  # noqa: E402

VESSEL = ROOT / "host" / "setup" / "demo-vessel.toml"


def timed(what, action):
    start = time.monotonic()
    result = action()
    print(f"{what:<42} {time.monotonic() - start:7.2f} s")
    return result


def run(*arguments):
    result = quaycell(*arguments)
    if result.returncode != 0:
        sys.exit(f"{arguments}: {result.stderr}")


print(f"{platform.processor() or platform.machine()}, {os.cpu_count()} cores")
with tempfile.TemporaryDirectory() as folder:
    bench = Bench(folder, "tidal-marina.toml")
    archive, figure = Path(folder) / "a.quaycell", Path(folder) / "a."
    run("deploy", "--port", bench.port, "--clock", "2026-05-04T06:00:00Z")
    timed("a week at one reading per 10 s, simulated", lambda: bench.tell("advance 7d"))
    timed("collect", lambda: run("collect", "--port", bench.port, "--archive", archive))
    timed("judge", lambda: run("judge", "--archive", archive, "--vessel", VESSEL))
    for kind in ("svg", "png"):
        timed(f"trace to {kind}", lambda kind=kind: run(
            "trace", "--archive", archive, "--vessel", VESSEL, "--output", f"{figure}{kind}"))
    print(bench.tell("stack"))
    print(bench.tell("energy"))
    bench.close()

#!/usr/bin/env python3
"""How long `trace` takes to draw a week and a year at one reading per second as SVG, and how large the
picture is, beside gnuplot drawing every reading of the same trace in the same run. gnuplot gets its
readings as binary doubles, ready to draw; `trace` reads the archive's records, judges them and finds the
events first. Times are elapsed and of the processor (user and system), each the best of three for a week.
Prints a table; judges nothing. Promised: a week in 0.5 s and 300 KB, a year in 5 s.

Run after a build with tests: tests/perf/figures.py [DAYS ...]     (gnuplot by hand: apt-get install
gnuplot-nox; only this measurement needs it, so it is not in host/setup/packages.txt)
QUAYCELL_BUILD names the build folder if it is not build/, QUAYCELL_YEAR a folder that keeps what is made."""
import array
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BUILD = Path(os.environ.get("QUAYCELL_BUILD", ROOT / "build"))
QUAYCELL = BUILD / "bin" / "quaycell"
BOAT = ["--hull", "steel", "--scale", "agcl/open", "--salinity", "35"]
PLOT = """set terminal svg size 680,500
set output '{output}'
set xdata time
plot '{data}' binary format='%double%double' using 1:2 with lines notitle
"""


def timed(command, runs):
    """Elapsed seconds and seconds of the processor, the best of so many runs; peak memory in MB."""
    best = None
    for _ in range(runs):
        began = time.monotonic()
        process = subprocess.Popen([str(part) for part in command], stdout=subprocess.DEVNULL,
                                   stderr=subprocess.DEVNULL)
        _, status, usage = os.wait4(process.pid, 0)
        took = time.monotonic() - began
        if os.waitstatus_to_exitcode(status) != 0:
            sys.exit(f"{' '.join(map(str, command))} did not end well")
        found = (took, usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024)
        best = min(best, found) if best else found
    return best


def readings_for_gnuplot(folder, days):
    """As many readings as the archive holds, as pairs of doubles; what they are does not matter to it."""
    path = Path(folder) / f"{days}-days.doubles"
    with path.open("wb") as out:
        for day in range(days):
            pairs = array.array("d")
            for second in range(86400):
                pairs.append(day * 86400.0 + second)
                pairs.append(-1000 + 25 * ((second % 44700) / 44700) + second % 7 * 0.1)
            pairs.tofile(out)
    return path


def row(name, days, took, picture):
    elapsed, processor, peak = took
    print(f"{days:>5} {name:<8} {elapsed:>9.2f} {processor:>12.2f} {peak:>8.0f} {picture.stat().st_size / 1e3:>11.0f}")


def main(folder, lengths):
    print(f"{'days':>5} {'by':<8} {'elapsed s':>9} {'processor s':>12} {'peak MB':>8} {'picture KB':>11}")
    for days in lengths:
        runs = 3 if days <= 30 else 1
        archive = Path(folder) / f"{days}-days.quaycell"
        if not archive.exists():
            subprocess.run([BUILD / "tests" / "made_archive", archive, str(days)], check=True,
                           stdout=subprocess.DEVNULL)
        picture = Path(folder) / "figure.svg"
        row("trace", days, timed([QUAYCELL, "trace", "--archive", archive, *BOAT, "--output", picture], runs),
            picture)
        if shutil.which("gnuplot") is None:
            print("      gnuplot is not installed: apt-get install gnuplot-nox")
            continue
        other = Path(folder) / "gnuplot.svg"
        script = Path(folder) / "figure.gp"
        data = readings_for_gnuplot(folder, days)
        script.write_text(PLOT.format(output=other, data=data), encoding="ascii")
        row("gnuplot", days, timed(["gnuplot", script], runs), other)
        data.unlink()
        other.unlink()


with tempfile.TemporaryDirectory() as temporary:
    main(os.environ.get("QUAYCELL_YEAR", temporary), [int(each) for each in sys.argv[1:]] or [7, 365])

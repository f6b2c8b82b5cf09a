#!/usr/bin/env python3
"""A week at one reading per second, out of an archive: how long the figure and the report take, and how
large they are, beside gnuplot drawing the same readings. Times are elapsed, on as many processors as there
are, and those of the processors together (user and system); the least of three. Promised, elapsed: trace to
SVG 0.5 s and 300 KB, report to PDF 1.5 s and 2 MB without attachments; of a year 5 s each. Prints a table;
judges nothing. On a machine at work: chrt -r 20 before it.

Run after a build with tests: tests/perf/report_speed.py [DAYS]     (Debian: gnuplot-nox, qpdf)
QUAYCELL_BUILD names the build folder if it is not build/."""
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BUILD = Path(os.environ.get("QUAYCELL_BUILD", ROOT / "build"))
QUAYCELL = BUILD / "bin" / "quaycell"
BOAT = ["--hull", "steel", "--scale", "agcl/open", "--salinity", "35"]
GNUPLOT = """set terminal svg size 680,360
set output "{output}"
set datafile separator ","
set xdata time
set timefmt "%Y-%m-%dT%H:%M:%SZ"
plot "{csv}" using 1:2 with lines notitle
"""


def least_s(*command, makes=None):
    """Elapsed, and of the processors. What it makes is not there before."""
    took = []
    for _ in range(3):
        if makes:
            makes.unlink(missing_ok=True)
            shutil.rmtree(makes.with_name(f"{makes.name}-evidence"), ignore_errors=True)
        before = os.times()
        done = subprocess.run([str(part) for part in command], capture_output=True, text=True)
        after = os.times()
        if done.returncode != 0:
            sys.exit(f"{' '.join(map(str, command))}: {done.stderr}")
        used = after.children_user + after.children_system - before.children_user - before.children_system
        took.append((after.elapsed - before.elapsed, used))
    return tuple(map(min, zip(*took)))


def without_attachments(pdf, folder):
    bare = folder / "bare.pdf"
    listed = subprocess.run(["qpdf", "--list-attachments", pdf], capture_output=True, text=True, check=True).stdout
    names = [f"--remove-attachment={line.split(' -> ')[0]}" for line in listed.splitlines()]
    subprocess.run(["qpdf", pdf, *names, "--", bare], check=True)
    return bare.stat().st_size


def row(what, took_s, size):
    elapsed_s, used_s = took_s
    print(f"{what:<42} {elapsed_s:>6.2f} s {used_s:>6.2f} s {size / 1000:>9.0f} KB")


def main(days):
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        archive = folder / "made.quaycell"
        subprocess.run([BUILD / "tests" / "made_archive", archive, str(days)], check=True, stdout=subprocess.DEVNULL)
        source = ["--archive", archive, *BOAT, "--output"]
        for ending in ("svg", "png"):
            figure = folder / f"figure.{ending}"
            row(f"trace to {ending.upper()}", least_s(QUAYCELL, "trace", *source, figure), figure.stat().st_size)
        report = folder / "report.pdf"
        took = least_s(QUAYCELL, "report", *source, report, makes=report)
        row("report to PDF", took, report.stat().st_size)
        row("   without its attachments", took, without_attachments(report, folder))
        row("verify", least_s(QUAYCELL, "verify", report), report.stat().st_size)
        page = folder / "page.html"  # not beside the evidence of report.pdf
        row("report to HTML", least_s(QUAYCELL, "report", *source, page, makes=page), page.stat().st_size)
        row("judge, for comparison", least_s(QUAYCELL, "judge", *source[:-1]), 0)
        if shutil.which("gnuplot"):
            csv = folder / "trace.csv"
            subprocess.run([QUAYCELL, "export", *source, csv], check=True, capture_output=True)
            script = folder / "plot"
            drawn = folder / "gnuplot.svg"
            script.write_text(GNUPLOT.format(output=drawn, csv=csv))
            version = subprocess.run(["gnuplot", "--version"], capture_output=True, text=True).stdout
            row(f"gnuplot {re.search('[0-9.]+', version)[0]}, the same readings to SVG", least_s("gnuplot", script),
                drawn.stat().st_size)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)

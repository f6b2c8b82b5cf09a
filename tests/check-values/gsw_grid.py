#!/usr/bin/env python3
"""Practical salinity of the program against the TEOS-10 library on a dense grid, and the stored table
conductivity-gsw.csv against the library anew. Needs python3-gsw and python3-numpy; without them it says
so and exits 77.

usage: gsw_grid.py PROGRAM    PROGRAM reads lines "ratio temperature_c pressure_dbar" and answers each
                              with the salinity (practical_salinity, built with the tests)"""
import csv
import subprocess
import sys
from pathlib import Path

try:
    import gsw
    import numpy
except ImportError as missing:
    print(f"{missing}: nothing compared. Install python3-gsw and python3-numpy.")
    sys.exit(77)

TABLE = Path(__file__).resolve().parent / "conductivity-gsw.csv"
STANDARD_MS_CM = 42.914
TOLERANCE = 1e-9


def compare_grid(program):
    """Worst difference over salinity, temperature and pressure, below and above 2 PSU."""
    salinity = numpy.concatenate([numpy.geomspace(0.05, 2, 60), numpy.linspace(2, 42, 121)])
    temperature = numpy.linspace(-2, 40, 85)
    pressure = numpy.array([0.0, 10.0])
    sp, t, p = (a.ravel() for a in numpy.meshgrid(salinity, temperature, pressure))
    conductivity = gsw.C_from_SP(sp, t, p)
    expected = gsw.SP_from_C(conductivity, t, p)
    lines = "".join(f"{r!r} {a!r} {b!r}\n" for r, a, b in
                    zip((conductivity / STANDARD_MS_CM).tolist(), t.tolist(), p.tolist()))
    answer = subprocess.run([program], input=lines, capture_output=True, text=True, check=True).stdout
    computed = numpy.array([float(line) for line in answer.split()])
    assert computed.size == expected.size, "the program answered another number of lines"
    off = numpy.abs(computed - expected)
    worst = int(off.argmax())
    print(f"PSS-78 against gsw {gsw.__version__}: {off.size} points, worst {off[worst]:.2g} at "
          f"{sp[worst]:.4g} PSU, {t[worst]:.4g} degC, {p[worst]:.4g} dbar (allowed {TOLERANCE:g})")
    return off[worst] <= TOLERANCE


def compare_table():
    """The stored table is what the library gives today, to the digits that it prints."""
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    worst = 0.0
    for row in csv.DictReader(lines):
        sp, t = float(row["SP"]), float(row["t_C"])
        worst = max(worst, abs(gsw.C_from_SP(sp, t, 0) - float(row["C_mScm"])))
    print(f"conductivity-gsw.csv against the library: {len(lines) - 1} rows, worst {worst:.2g} mS/cm")
    return worst <= 1e-9


good = [compare_grid(sys.argv[1]), compare_table()]
sys.exit(0 if all(good) else 1)

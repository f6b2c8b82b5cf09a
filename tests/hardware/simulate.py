#!/usr/bin/env python3
"""Prints the table of results: the drawn front end, simulated, beside what firmware, bench and host take it for.

    simulate.py BUILD > hardware-notes/simulated.csv
"""
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

import faults
import moving
import steady
from circuit import Circuit
from row import table


class Assumed(NamedTuple):
    value: float
    where: str


def program_of(build):
    return Path(build) / "tests" / "hardware_assumed"


def assumptions(program):
    said = subprocess.run([program], capture_output=True, text=True, check=True).stdout
    lines = (line.split(",") for line in said.splitlines())
    return {name: Assumed(float(value), where) for name, value, where in lines}


def results(circuit, assumed, program):
    parts = [lambda: steady.com(circuit, assumed), lambda: steady.dc(circuit, assumed), lambda: steady.ac(circuit, assumed),
             lambda: moving.settling(circuit, assumed), lambda: moving.open_drift(circuit, assumed),
             lambda: moving.clipping(circuit, assumed), lambda: moving.stimulus(circuit, assumed, program),
             lambda: moving.disturbance(circuit, assumed), lambda: faults.voltage(circuit, assumed),
             lambda: faults.discharge(circuit, assumed)]
    with ThreadPoolExecutor(2) as pool:
        return [row for rows in pool.map(lambda part: part(), parts) for row in rows]


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    program = program_of(sys.argv[1])
    if not program.exists():
        sys.exit(f"{program} is missing: build the target hardware_assumed")
    print(table(results(Circuit(), assumptions(program), program)), end="")

#!/usr/bin/env python3
"""Prints what the real firmware delivers of its records at each speed of the line, in simulated time, and
what its processor spends on it. The same figures every time; thresholds are the test's affair.

Run after a build with tests: tests/perf/download_speed.py
QUAYCELL_BUILD names the build folder if it is not build/."""
import os
import re
import subprocess
import sys
from pathlib import Path

BUILD = Path(os.environ.get("QUAYCELL_BUILD", Path(__file__).resolve().parents[2] / "build"))
CPU_HZ = 7_372_800
# PROTOCOL.md: seven slots of 32 bytes to a block of 235, ten bits to a byte.
RECORD_BYTES, BLOCK_BYTES, BITS = 224, 235, 10


def main():
    done = subprocess.run([BUILD / "tests" / "bench_download_test", "--test-case=record bytes*"],
                          capture_output=True, text=True)
    rows = re.findall(r"at (\d+) Bd: ([\d.]+) record bytes a second, ([\d.]+) % of the line", done.stdout)
    if not rows:
        sys.exit(f"the test told nothing: {done.stdout}{done.stderr}")
    print(f"{'Bd':>8}{'record bytes/s':>16}{'% of line':>11}{'a block: line':>15}{'really, cycles':>16}  limit")
    for baud, rate, share in rows:
        line = BLOCK_BYTES * BITS * CPU_HZ // int(baud)
        really = RECORD_BYTES / float(rate) * CPU_HZ
        limit = "the line" if really < 1.05 * line else "the processor"
        print(f"{baud:>8}{float(rate):>16.0f}{float(share):>11.2f}{line:>15}{really:>16.0f}  {limit}")
    print(f"no more than {100 * RECORD_BYTES / BLOCK_BYTES:.1f} % of a line can be records; "
          "the logger records a reading every second meanwhile")
    print(*re.findall(r"longest interrupt: .*", done.stdout))
    return done.returncode


if __name__ == "__main__":
    sys.exit(main())

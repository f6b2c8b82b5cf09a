#!/usr/bin/env python3
"""Records of a day, a week, a month and a year at one reading per second, judged whole from the archive:
time, peak memory, and whether both grow as they should; beside them numpy and pandas doing shares,
percentiles, spells and steps on the same year; and how fast a CSV is read and imported. Times are of one
core (user and system), so that a machine at work does not matter. Prints a table; judges nothing.

Run after a build with tests: tests/perf/year.py [DAYS ...]     (Debian: python3-numpy python3-pandas)
QUAYCELL_BUILD names the build folder if it is not build/, QUAYCELL_YEAR a folder that keeps what is made."""
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BUILD = Path(os.environ.get("QUAYCELL_BUILD", ROOT / "build"))
QUAYCELL = BUILD / "bin" / "quaycell"
BOAT = ["--hull", "steel", "--scale", "agcl/open", "--salinity", "35"]
CSV_DAYS = 30  # SQLite holds no text of more than a gigabyte, and a year is more


def measured(*command):
    """What it printed, its seconds of processor time, and its peak memory in MB."""
    with tempfile.TemporaryFile() as output:
        process = subprocess.Popen([str(part) for part in command], stdout=output,
                                   env={**os.environ, "OMP_NUM_THREADS": "1"})
        _, status, usage = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode != 0:
            sys.exit(f"{' '.join(map(str, command))} ended with {process.returncode}")
        output.seek(0)
        return output.read().decode(), usage.ru_utime + usage.ru_stime, usage.ru_maxrss / 1024


def archive_of(folder, days):
    path = Path(folder) / f"{days}-days.quaycell"
    if not path.exists():
        measured(BUILD / "tests" / "made_archive", path, days)
    return path


def judge_all(folder, lengths):
    print(f"{'days':>5} {'million readings':>17} {'s':>7} {'s per million':>14} {'peak MB':>8}")
    took = {}
    for days in lengths:
        text, took[days], peak = measured(QUAYCELL, "judge", "--archive", archive_of(folder, days), *BOAT)
        words = next(line for line in text.splitlines() if line.startswith("period: ")).split(", ")
        millions = int(words[1].split()[0]) / 1e6
        print(f"{days:>5} {millions:>17.2f} {took[days]:>7.2f} {took[days] / millions:>14.3f} {peak:>8.0f}")
    return took


def beside_numpy(folder, days, judged_s):
    text, took, peak = measured(sys.executable, Path(__file__).with_name("year_by_pandas.py"),
                                archive_of(folder, days))
    print(f"numpy and pandas, the same {days} days: {took:.2f} s, {peak:.0f} MB; {text.strip()}")
    print(f"ratio {took / judged_s:.1f}")


def csv_speed(folder):
    path = Path(folder) / f"{CSV_DAYS}-days.csv"
    if not path.exists():
        measured(QUAYCELL, "export", "--archive", archive_of(folder, CSV_DAYS), "--output", path, *BOAT)
    size_mb = path.stat().st_size / 1e6
    print(f"CSV of {CSV_DAYS} days, {size_mb:.0f} MB:", end="")
    read_s = float(measured(BUILD / "tests" / "read_csv", path)[0])
    print(f" read at {size_mb / read_s:.0f} MB/s,", end="")
    target = Path(folder) / "imported.quaycell"
    target.unlink(missing_ok=True)
    _, import_s, _ = measured(QUAYCELL, "import", path, "--archive", target)
    print(f" imported at {size_mb / import_s:.0f} MB/s")


with tempfile.TemporaryDirectory() as temporary:
    kept = os.environ.get("QUAYCELL_YEAR", temporary)
    lengths = [int(each) for each in sys.argv[1:]] or [1, 7, 30, 365]
    seconds = judge_all(kept, lengths)
    beside_numpy(kept, max(lengths), seconds[max(lengths)])
    csv_speed(kept)

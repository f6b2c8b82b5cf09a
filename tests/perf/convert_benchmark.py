#!/usr/bin/env python3
"""Ten million readings on a bare element put on she, each in water of its own: by the library, and by
numpy with the same equations on the same points in the same run, one core each. Prints both times and
their ratio; fails only where the answers differ by more than 1e-9 mV.

Run after a build with tests: tests/perf/convert_benchmark.py [POINTS]
QUAYCELL_BUILD names the build folder if it is not build/."""
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ["OMP_NUM_THREADS"] = "1"
import numpy as np  # noqa: E402

ROOT = Path(__file__).resolve().parents[2]
BUILD = Path(os.environ.get("QUAYCELL_BUILD", ROOT / "build"))
CHUNK = 8192  # numpy is fastest where its arrays stay in the cache

# The equations of host/electrode: standard potential, chloride, activity, self-solubility.
A_PHI = (3.36901532e-1, -6.32100430e-4, 9.14252359, -1.35143986e-2, 2.26089488e-3, 1.92118597e-6,
         45.2586464, 0)
BETA0 = (26.7375563, 1.00721050e-2, -758.485453, -4.70624175, 0, -3.75994338e-6, 0, 0)
BETA1 = (-7.41559626, 0, 322.892989, 1.16438557, 0, 0, 0, -5.94578140)
C_PHI = (-3.30531334, -1.29807848e-3, 91.2712100, 0.586450181, 0, 4.95713573e-7, 0, 0)


def fit(a, terms):
    return sum(factor * term for factor, term in zip(a, terms) if factor)


def on_she(salinity, temperature, reading):
    t = temperature + 273.15
    terms = (1, t, 1 / t, np.log(t), 1 / (t - 263), t * t, 1 / (680 - t), 1 / (t - 227))
    salt = salinity * 35.16504 / 35
    share = (salt / (1000 - salt)) / (35.16504 / (1000 - 35.16504))
    ionic = 0.7226301 * share
    root = np.sqrt(ionic)
    x = 2 * root
    falling = np.exp(-x)
    f = -fit(A_PHI, terms) * (root / (1 + 1.2 * root) + 2 / 1.2 * np.log(1 + 1.2 * root))
    g = 2 * (1 - (1 + x) * falling) / (x * x)
    gamma = np.exp(f + ionic * (2 * fit(BETA0, terms) + fit(BETA1, terms) * (g + falling))
                   + 1.5 * ionic * ionic * fit(C_PHI, terms))
    activity = 0.5657647 * share * gamma
    slope = 1000 * 8.314462618 * t / 96485.33212
    standard = 1000 * (0.23659 + temperature * (-4.8564e-4 + temperature
                                                * (-3.4205e-6 + temperature * 5.869e-9)))
    solubility = np.exp((standard - (799.1 - 0.99 * (temperature - 25))) / slope)
    total = (activity + np.sqrt(activity * activity + 4 * solubility)) / 2
    return reading + standard - slope * np.log(total)


def timed(action):
    start = time.process_time()
    result = action()
    return time.process_time() - start, result


def in_chunks(salinity, temperature, reading):
    answer = np.empty_like(reading)
    for i in range(0, reading.size, CHUNK):
        part = slice(i, i + CHUNK)
        answer[part] = on_she(salinity[part], temperature[part], reading[part])
    return answer


count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000_000
rng = np.random.default_rng(20)
points = (rng.uniform(0.05, 42, count), rng.uniform(-2, 40, count), rng.uniform(-1200, -200, count))
with tempfile.TemporaryDirectory() as folder:
    files = [Path(folder) / name for name in ("salinity", "temperature", "reading", "answer")]
    for file, values in zip(files, points):
        values.tofile(file)
    library_s = float(subprocess.run([BUILD / "tests" / "convert_benchmark", str(count), *files],
                                     capture_output=True, text=True, check=True).stdout)
    library = np.fromfile(files[-1])
whole_s, whole = timed(lambda: on_she(*points))
chunked_s, chunked = timed(lambda: in_chunks(*points))
off = max(np.abs(whole - library).max(), np.abs(chunked - library).max())
for what, took in (("library, one call a point", library_s), ("numpy, whole arrays", whole_s),
                   (f"numpy, {CHUNK} points at a time", chunked_s)):
    print(f"{what:<32} {took:7.2f} s {took / count * 1e9:7.0f} ns a point  "
          f"ratio to the library {took / library_s:.2f}")
print(f"{count} points, worst difference {off:.2g} mV")
sys.exit(int(off > 1e-9))

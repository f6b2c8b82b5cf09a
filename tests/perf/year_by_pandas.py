#!/usr/bin/env python3
"""What year.py measures against: the readings of an archive that made_archive wrote, by numpy and pandas.
Shares of time under, within and beyond a band, percentiles, spells, and steps of a running median. The
codes are read straight from the archive, without a look at their checksums, gaps or restarts."""
import sqlite3
import sys

import numpy as np
import pandas as pd

RECORD = np.dtype([("kind", "u1"), ("time_flags", "u1"), ("boot", "<u2"), ("sequence", "<u4"),
                   ("ticks_s", "<u4"), ("flags", "<u2"), ("cell_a", "<i2"), ("rest", "V16")])
READING = 0x57
LSB_MV = 0.0625
WINDOW = 21
LEAST_STEP_MV = 5
LIMITS_MV = (-1050, -800)

blocks = sqlite3.connect(sys.argv[1]).execute("SELECT records FROM block ORDER BY boot, first_sequence")
records = np.frombuffer(b"".join(row[0] for row in blocks), RECORD)
records = records[records["kind"] == READING]
time = pd.to_datetime(records["ticks_s"].astype("int64"), unit="s")
level = pd.Series(-LSB_MV * records["cell_a"], index=time)

stands_for = np.diff(records["ticks_s"].astype("int64"), append=records["ticks_s"][-1] + 1)
stands_for[stands_for > 2] = 1
verdict = np.digitize(level.to_numpy(), LIMITS_MV)
shares = np.bincount(verdict, weights=stands_for, minlength=3) / stands_for.sum()
percentiles = level.quantile([0.05, 0.5, 0.95]).round(1).tolist()
spells = int(np.count_nonzero(np.diff(verdict))) + 1
smooth = level.rolling(WINDOW, center=True).median()
change = (smooth.shift(-WINDOW) - smooth).abs()
steps = int(((change >= LEAST_STEP_MV) & (change.shift() < LEAST_STEP_MV)).sum())
print(f"shares {shares.round(3).tolist()}, percentiles {percentiles}, {spells} spells, {steps} steps")

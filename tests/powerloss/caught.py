#!/usr/bin/env python3
"""Whether the runner finds a seeded fault: caught.py FAULTS NAME FAULTY_RUNNER SOUND_RUNNER.
Found is a case that fails with the fault and passes without it. A fault that is said to be equivalent
must have none."""
import subprocess
import sys

from seed_fault import faults

SAMPLE = ["--one-of=50", "--worn=none"]
PREFIX = "failed: "


def telling_case(faulty, sound, sample):
    with subprocess.Popen([faulty, *sample, "--most-failures=100000"], stdout=subprocess.PIPE, text=True) as runner:
        for line in runner.stdout:
            if not line.startswith(PREFIX):
                continue
            case = line.removeprefix(PREFIX).split()
            if subprocess.run([sound, *case], stdout=subprocess.DEVNULL).returncode == 0:
                runner.terminate()
                return " ".join(case), next(runner.stdout).strip()
    if runner.returncode not in (0, 1):
        sys.exit(f"the faulty runner ended with {runner.returncode}")
    return None


table, name, faulty, sound = sys.argv[1:]
fault = faults(table)[name]
found = telling_case(faulty, sound, fault.get("sample", SAMPLE))
print(f"{name}: {fault['why']}")
if found:
    print("found by", *found, sep="\n  ")
else:
    print("not found")
    print(fault.get("equivalent", ""))
sys.exit(bool(found) == ("equivalent" in fault))

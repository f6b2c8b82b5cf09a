#!/usr/bin/env python3
"""Collects from the simulated logger while the line, the host or the logger fails, and holds what the
archive has then against the logger's flash: a correct prefix or the whole, never wrong, never doubled;
one more collection completes it.

  tests/faults/fault_runner.py                                25 cases of each kind
  tests/faults/fault_runner.py --count 1000 --jobs 16         a long run
  tests/faults/fault_runner.py --kind unplug --first 200      some cases of one kind
  tests/faults/fault_runner.py "kind=flip rate=1e-4 seed=17"  a case again

QUAYCELL_BUILD names the build folder if it is not build/. Exit code 1 when a promise was broken."""
import argparse
import os
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from cases import KINDS, case_of, parse_case
from collecting import Collecting, make_log


def arguments():
    options = argparse.ArgumentParser(description=__doc__,
                                      formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("cases", nargs="*", metavar="CASE")
    options.add_argument("--count", type=int, default=25, help="cases of each kind [25]")
    options.add_argument("--kind", action="append", choices=KINDS, help="only this kind")
    options.add_argument("--first", type=int, default=1, help="seed of the first case [1]")
    options.add_argument("--jobs", type=int, default=8 * (os.cpu_count() or 1),
                         help="cases at once; most of their time is waiting [8 a core]")
    given = options.parse_args()
    try:
        given.cases = [parse_case(line) for line in given.cases]
    except ValueError as error:
        options.error(str(error))
    if not given.cases:
        seeds = range(given.first, given.first + given.count)
        given.cases = [case_of(kind, seed) for seed in seeds for kind in given.kind or KINDS]
    return given


def print_table(outcomes, seconds):
    print(f"{'kind':<8}{'cases':>7}{'finished':>10}{'broken off':>12}{'gaps':>6}{'failed':>8}"
          f"{'longest s':>11}")
    for kind in KINDS:
        of_kind = [outcome for outcome in outcomes if outcome.case.kind == kind]
        if not of_kind:
            continue
        count = Counter(
            "failed" if outcome.faults else "finished" if outcome.finished else "broken off"
            for outcome in of_kind)
        print(f"{kind:<8}{len(of_kind):>7}{count['finished']:>10}{count['broken off']:>12}"
              f"{sum(outcome.gaps for outcome in of_kind):>6}{count['failed']:>8}"
              f"{max(outcome.seconds for outcome in of_kind):>11.0f}")
    print(f"{len(outcomes)} cases in {seconds:.0f} s; finished: the whole came in spite of the faults; "
          "broken off: a correct prefix, completed by the next collection; gaps: records reported as "
          "lost, brought by the next collection; longest: a collection under faults")


def main():
    given = arguments()
    start = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "flash"
        log = make_log(file)
        print(f"{len(log.records)} records of one logger, {given.jobs} cases at once", flush=True)

        def run(case):
            try:
                outcome = Collecting(case, file).run()
            except Exception as error:
                error.add_note(str(case))
                raise
            if outcome.faults:
                print(f"FAILED {case}: {'; '.join(outcome.faults[:5])}", flush=True)
            elif len(given.cases) < 10:
                print(f"{case}: {'finished' if outcome.finished else 'broken off'}, "
                      f"{outcome.held} records held", flush=True)
            return outcome

        outcomes = []
        with ThreadPoolExecutor(given.jobs) as pool:
            for outcome in pool.map(run, given.cases):
                outcomes.append(outcome)
                if len(outcomes) % 500 == 0:
                    print(f"{len(outcomes)} of {len(given.cases)} cases after "
                          f"{time.monotonic() - start:.0f} s", flush=True)
    print_table(outcomes, time.monotonic() - start)
    return 1 if any(outcome.faults for outcome in outcomes) else 0


if __name__ == "__main__":
    sys.exit(main())

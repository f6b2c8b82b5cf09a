#!/usr/bin/env python3
"""A simulated week, from the real firmware over a pseudo-terminal to the judged trace, held against
what the sea truly did. The truth comes from the scenario and an independent table of the cell's
potential, not from the host's equations."""
import csv
import math
import unittest
from datetime import datetime, timedelta, timezone
from programs import ROOT, EndToEnd

START = datetime(2026, 5, 4, 6, tzinfo=timezone.utc)
WEEK_S = 7 * 86400
VESSEL = ROOT / "host" / "setup" / "demo-vessel.toml"
# From the scenario: shore power is plugged in from hour 35 to 74 and from hour 124 to 157, and only
# then is the hull less negative than -950 mV.
PLUGGED_SHARE = ((74 - 35) + (157 - 124)) / (7 * 24)


def instant(text):
    return datetime.fromisoformat(text.replace("Z", "+00:00"))


def second(time):
    return round((time - START).total_seconds())


class AWeekAboard(EndToEnd):
    def test_the_judged_trace_tells_what_happened(self):
        truth_file = self.folder / "truth.csv"
        bench = self.start_bench("tidal-marina.toml", "--truth", truth_file,
                                 "--truth-interval", "1s")
        port, archive = bench.port, self.folder / "week.quaycell"

        armed = self.document("deploy", "--port", port, "--interval", "10s", "--clock",
                              START.isoformat())
        self.assertEqual(armed["interval_s"], 10)
        ahead = self.clock_ahead_s(bench)
        bench.tell("advance 7d")
        self.assertLessEqual(abs(self.clock_ahead_s(bench) - ahead), 1,
                             "the logger's clock is right to 1 s after a week")

        collected = self.document("collect", "--port", port, "--archive", archive)
        self.assertEqual(collected["gaps"], [])
        self.assertEqual(collected["bad"], 0)
        # The cell is a model, which does not drift: what the vessel file says of its first day is true of all.
        judged = self.document("judge", "--archive", archive, "--vessel", VESSEL, "--cell-checked")
        readings = self.readings(archive)
        self.check_completeness(readings, judged)
        self.check_potentials(readings, judged["expanded_uncertainty_mv"], ahead,
                              self.truth(truth_file))
        self.check_verdict(judged)
        self.check_happenings(judged)

        again = self.document("collect", "--port", port, "--archive", archive)
        self.assertLess(again["added"], 100, "only what was recorded while the first was collected")
        self.assertEqual(self.readings(archive)[:len(readings)], readings,
                         "collecting again changes nothing")
        print(bench.tell("stack"))
        self.assertEqual(bench.close(), 0, "nothing that real hardware would not have forgiven")

    def clock_ahead_s(self, bench):
        """By how much the logger's clock is ahead of the simulated world."""
        _, clock, _, world = bench.tell("clock").split()
        return round((instant(clock) - instant(world)).total_seconds())

    def readings(self, archive):
        """(second, potential on agcl/seawater) of every exported reading."""
        text = self.done("export", "--archive", archive, "--vessel", VESSEL)
        rows = csv.DictReader(text.splitlines())
        return [(second(instant(row["time"])), float(row["standard_mv"])) for row in rows]

    def truth(self, file):
        """The true potential of every second on agcl/seawater."""
        with open(file, newline="") as rows:
            return {second(instant(row["time"])): float(row["potential_mv"])
                    for row in csv.DictReader(rows)}

    def check_completeness(self, readings, judged):
        self.assertGreaterEqual(len(readings), WEEK_S // 10 - 1)
        self.assertLessEqual(len(readings), WEEK_S // 10 + 1)
        self.assertEqual(judged["readings"], len(readings))
        self.assertEqual(judged["gaps"], [])
        times = [time for time, _ in readings]
        self.assertEqual({b - a for a, b in zip(times, times[1:])}, {10})

    def check_potentials(self, readings, uncertainty_mv, ahead, truth):
        self.assertGreater(uncertainty_mv, 5)
        self.assertLess(uncertainty_mv, 25)
        worst = 0
        for time, measured_mv in readings:
            # The clock was set ahead of the world by so much, give or take 1 s since both are told
            # in whole seconds; its times are right to 1 s; and a reading is a mean over part of the
            # second that follows. Beside a step it may lie anywhere between both levels.
            world = time - ahead
            true = [truth[near] for near in range(world - 3, world + 4) if near in truth]
            worst = max(worst, min(true) - measured_mv, measured_mv - max(true))
        print(f"{len(readings)} readings, worst {worst:.2f} mV from the truth, "
              f"stated uncertainty {uncertainty_mv:.1f} mV")
        self.assertLessEqual(worst, uncertainty_mv)

    def check_verdict(self, judged):
        self.assertEqual(judged["verdict"], "under-protected")
        self.assertAlmostEqual(judged["time_share"]["under-protected"], PLUGGED_SHARE, places=3)
        self.assertAlmostEqual(sum(judged["time_share"].values()), 1, places=5)
        spells = [spell for spell in judged["spells"] if spell["verdict"] == "under-protected"]
        self.assertEqual(len(spells), 2)
        for spell, (plugged, unplugged) in zip(spells, ((35, 74), (124, 157))):
            for time, hour in ((spell["from"], plugged), (spell["to"], unplugged)):
                off = abs((instant(time) - START - timedelta(hours=hour)).total_seconds())
                self.assertLessEqual(off, 12, f"{time} is not hour {hour} within a reading")

    def check_happenings(self, judged):
        """From the scenario, too: nothing else happens in that week. The tide moves the potential by
        6 mV, and the bare cell by as much as the water turns from 22 to 33 PSU (57 mV a decade of
        chloride, the Nernst slope at 14 degC), which nobody measured there; the day moves it by 2 mV."""
        told = [(event["kind"], round(second(instant(event["time"])) / 3600, 2))
                for event in judged["events"]]
        self.assertEqual(told, [("shore-power-on", 35), ("shore-power-off", 74),
                                ("shore-power-on", 124), ("shore-power-off", 157)])
        for event, size in zip(judged["events"], (95, -95, 82, -82)):
            self.assertAlmostEqual(event["change_mv"], size, delta=2)
        tide_mv = 6 + 57 * math.log10(33 / 22) / 2
        for cycle, (period, amplitude) in zip(judged["cycles"], ((12.42, tide_mv), (24, 2))):
            self.assertEqual(cycle["period_h"], period)
            self.assertAlmostEqual(cycle["amplitude_mv"], amplitude, delta=1)
        shore = judged["statistics"]
        self.assertAlmostEqual(shore["plugged_median_mv"] - shore["unplugged_median_mv"], 88, delta=8)


if __name__ == "__main__":
    unittest.main(verbosity=2)

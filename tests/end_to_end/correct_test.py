#!/usr/bin/env python3
"""Corrections in the user's hands: each is a new row with who, when and why, laid over readings that
stay as they were recorded; and what cannot be meant is refused with the archive as it was."""
import csv
import io
import json
import unittest
from programs import EndToEnd, quaycell

HEAD = "time,potential_mv,cell_scale,cell_b_mv\r\n"


def row(minute, potential=-990, cell_b=-985):
    return f"2026-05-04T06:{minute:02}:00Z,{potential},agcl/open,{cell_b}\r\n"


class Corrections(EndToEnd):
    def setUp(self):
        super().setUp()
        self.archive = self.folder / "a.quaycell"
        week = self.folder / "week.csv"
        week.write_text(HEAD + "".join(row(minute) for minute in range(30)))
        self.done("import", week, "--archive", self.archive)
        self.recorded = self.rows()

    def correct(self, *arguments):
        result = quaycell("correct", "--archive", self.archive, *arguments)
        self.assertEqual(result.returncode, 0, result.stderr)
        return result.stderr

    def export(self, *arguments):
        return quaycell("export", "--archive", self.archive, *arguments)

    def rows(self, *arguments):
        return list(csv.DictReader(io.StringIO(self.export(*arguments).stdout)))

    def listed(self):
        return self.document("correct", "--archive", self.archive)["corrections"]


class Applied(Corrections):
    def test_times_move_and_who_when_and_why_are_told_wherever_the_readings_are(self):
        said = self.correct("--move-times", "+1h", "--why", "laptop on summer time", "--author", "Ann")
        words = "correction 1 of deployment 1, all of it: times moved by +3600 s (1 h); why: " \
                "laptop on summer time (Ann, written "
        self.assertIn(words, said)
        self.assertEqual(self.rows()[0]["time"], "2026-05-04T07:00:00Z")
        self.assertEqual(self.rows()[0]["quality"], "corrected")
        self.assertIn(words, self.export().stderr)
        judged = self.document("judge", "--archive", self.archive, "--hull", "steel")
        self.assertTrue(any(words in reason for reason in judged["reasons"]), judged["reasons"])
        self.assertEqual(judged["corrections"], self.listed())
        self.assertIn(words, self.done("judge", "--archive", self.archive, "--hull", "steel"))
        self.assertIn(words, self.done("status", "--archive", self.archive))
        status = self.document("status", "--archive", self.archive)
        self.assertEqual(status["corrections"], self.listed())
        self.assertEqual(status["deployments"][0]["from"], "2026-05-04T07:00:00Z")
        figure = self.folder / "a.svg"
        drawn = quaycell("trace", "--archive", self.archive, "--hull", "steel", "--output", figure)
        self.assertIn(words, drawn.stderr)
        self.assertIn("summer", figure.read_text())
        one = self.listed()[0]
        self.assertEqual((one["author"], one["kind"], one["value"]), ("Ann", "moved-times", "3600000"))
        self.assertRegex(one["written_at"], r"^20\d\d-")

    def test_the_recorded_readings_stay_and_are_read_with_uncorrected(self):
        self.correct("--move-times", "-90s", "--why", "slow clock")
        self.correct("--swapped-leads", "--why", "plugs")
        self.assertNotEqual(self.rows(), self.recorded)
        self.assertEqual(self.rows("--uncorrected"), self.recorded)
        self.assertIn("2 corrections left aside", self.export("--uncorrected").stderr)
        judged = self.document("judge", "--archive", self.archive, "--hull", "steel", "--uncorrected")
        self.assertEqual(judged["corrections"], [])

    def test_an_export_of_corrected_readings_is_imported_as_it_is(self):
        self.correct("--move-times", "+1h", "--why", "summer time")
        self.correct("--salinity", "12", "--why", "meter was in mS/cm", "--from", "2026-05-04T07:10:00Z")
        self.correct("--leave-out", "--to", "2026-05-04T07:04:00Z", "--why", "in the bucket")
        exported = self.folder / "out.csv"
        exported.write_bytes(self.export().stdout.encode())
        again = self.folder / "again.quaycell"
        self.done("import", exported, "--archive", again)
        self.assertEqual(list(csv.DictReader(io.StringIO(self.done("export", "--archive", again)))),
                         self.rows())
        self.assertEqual(len(self.rows()), 25)

    def test_a_stretch_is_left_out_for_a_reason_and_becomes_a_gap(self):
        self.correct("--leave-out", "--from", "2026-05-04T06:10:00Z", "--to", "2026-05-04T06:14:59Z",
                     "--why", "cell lifted for cleaning", "--author", "Bob")
        judged = self.document("judge", "--archive", self.archive, "--hull", "steel")
        self.assertEqual(judged["readings"], 25)
        self.assertEqual([event["kind"] for event in judged["events"]], ["gap"])
        self.assertIn("left out: cell lifted for cleaning (Bob)", judged["events"][0]["why"])
        self.assertEqual(judged["covered_s"], 25 * 60)

    def test_everything_left_out_leaves_no_verdict(self):
        self.correct("--leave-out", "--why", "the logger lay in the locker")
        judged = self.document("judge", "--archive", self.archive, "--hull", "steel")
        self.assertEqual((judged["verdict"], judged["readings"]), ("no-verdict", 0))
        self.refused(2, "correct", "--archive", self.archive, "--swapped-leads", "--why", "x",
                     says=["no reading to correct"])

    def test_swapped_leads_turn_cell_a_and_refer_cell_b_to_the_hull_again(self):
        # Hull and cell A swapped: A read A - hull, B read A - B; so hull - B is their difference.
        week = self.folder / "swapped.csv"
        week.write_text(HEAD + row(40, 990, 5) + row(41, 991, 6) + row(42, 992, 7))
        self.done("import", week, "--archive", self.archive)
        self.correct("--deployment", "2", "--swapped-leads", "--why", "polarity reversed on the dock")
        self.assertEqual([(r["potential_mv"], r["cell_b_mv"]) for r in self.rows("--deployment", 2)],
                         [("-990", "-985"), ("-991", "-985"), ("-992", "-985")])

    def test_another_cell_and_another_water_count_for_the_standard_scale(self):
        before = float(self.rows()[0]["standard_mv"])
        self.correct("--cell-scale", "cse", "--why", "label misread")
        first = self.rows()[0]
        self.assertEqual(first["cell_scale"], "cse")
        self.assertGreater(float(first["standard_mv"]), before + 50)
        self.correct("--withdraw", "1", "--why", "it was right")
        self.correct("--salinity", "10", "--why", "measured on Tuesday")
        self.correct("--temperature", "9", "--why", "thermistor in the locker")
        first = self.rows()[0]
        self.assertEqual((first["salinity_psu"], first["temperature_c"]), ("10", "9"))
        self.assertNotAlmostEqual(before, float(first["standard_mv"]), delta=5)


class TakenBack(Corrections):
    def test_a_withdrawal_is_a_row_too_and_the_readings_are_what_they_were(self):
        self.correct("--move-times", "+1h", "--why", "summer time", "--author", "Ann")
        said = self.correct("--withdraw", "1", "--why", "it was UTC after all", "--author", "Bob")
        self.assertIn("correction 2 of deployment 1, withdraws correction 1; why: it was UTC", said)
        self.assertEqual(self.rows(), self.recorded)
        listed = self.listed()
        self.assertEqual([(c["number"], c["kind"], c["author"], c["withdrawn_by"]) for c in listed],
                         [(1, "moved-times", "Ann", 2), (2, "withdrawal", "Bob", None)])
        for number, words in ((1, "withdrawn before"), (2, "cannot be withdrawn"), (7, "no correction 7")):
            self.refused(2, "correct", "--archive", self.archive, "--withdraw", number, "--why", "x",
                         says=[words])
        self.correct("--move-times", "+2h", "--why", "two hours")
        self.assertEqual(self.rows()[0]["time"], "2026-05-04T08:00:00Z")

    def test_a_stretch_is_told_by_the_clock_that_is_read_now_and_the_one_it_was_written_by(self):
        self.correct("--move-times", "+1h", "--why", "summer time")
        self.correct("--leave-out", "--from", "2026-05-04T07:10:00Z", "--to", "2026-05-04T07:14:00Z", "--why", "lifted")
        listed = ("correct", "--archive", self.archive)
        self.assertIn("correction 2 of deployment 1, 2026-05-04T07:10:00Z to 2026-05-04T07:14:00Z: readings left out",
                      self.done(*listed))
        self.correct("--withdraw", "1", "--why", "it was UTC after all")
        words = "2026-05-04T06:10:00Z to 2026-05-04T06:14:00Z (2026-05-04T07:10:00Z to 2026-05-04T07:14:00Z by the " \
                "clock as it stood when this was written): readings left out"
        self.assertIn(words, self.done(*listed))
        self.assertIn(words, self.done("status", "--archive", self.archive))
        judged = self.document("judge", "--archive", self.archive, "--hull", "steel")
        self.assertEqual(judged["events"][0]["time"], "2026-05-04T06:10:00Z")
        self.assertEqual(judged["corrections"], [self.listed()[1]])
        self.assertEqual(judged["corrections"][0]["now"], {"from": "2026-05-04T06:10:00Z", "to": "2026-05-04T06:14:00Z"})
        page = self.folder / "a.html"
        self.done("report", "--archive", self.archive, "--hull", "steel", "--output", page)
        told = page.read_text(encoding="utf-8")
        self.assertIn("2026-05-04 06:10:00", told)
        self.assertIn("by the clock as it stood when this was written", told)
        self.done("verify", page, "--archive", self.archive)
        self.refused(1, "correct", "--archive", self.archive, "--leave-out", "--why", "again", says=[words])

    def test_what_others_rest_on_is_withdrawn_after_them(self):
        self.correct("--move-times", "+1h", "--from", "2026-05-04T06:15:00Z", "--why", "a")
        self.correct("--move-times", "+30min", "--to", "2026-05-04T06:14:00Z", "--why", "b")
        self.refused(2, "correct", "--archive", self.archive, "--withdraw", 1, "--why", "c",
                     says=["would come after", "withdraw what was moved before"])
        self.correct("--withdraw", "2", "--why", "c")
        self.correct("--withdraw", "1", "--why", "c")


class Refused(Corrections):
    def refuse(self, code, *arguments, says):
        before = self.archive.read_bytes()
        self.refused(code, "correct", "--archive", self.archive, *arguments, says=says)
        self.assertEqual(self.listed(), [])
        self.assertEqual(self.archive.read_bytes(), before)

    def test_what_cannot_be_meant(self):
        why = ("--why", "x")
        self.refuse(2, "--swapped-leads", says=["nobody says why", "--why"])
        self.refuse(2, "--swapped-leads", "--why", "  ", says=["nobody says why"])
        self.refuse(2, *why, says=["one thing", "--leave-out"])
        self.refuse(2, "--swapped-leads", "--leave-out", *why, says=["one thing"])
        self.refuse(2, "--deployment", 9, "--leave-out", *why, says=["no deployment 9", "1 (imported"])
        self.refuse(2, "--leave-out", "--from", "2026-05-05T06:00:00Z", *why,
                    says=["no reading lies there", "2026-05-04T06:00:00Z to 2026-05-04T06:29:00Z"])
        self.refuse(2, "--leave-out", "--to", "2026-05-03T06:00:00Z", *why, says=["no reading lies there"])
        self.refuse(2, "--leave-out", "--from", "2026-05-04T06:09:00Z", "--to", "2026-05-04T06:05:00Z",
                    *why, says=["--from is later than --to"])
        self.refuse(2, "--leave-out", "--from", "nine", *why, says=["nine"])
        self.refuse(2, "--move-times", "soon", *why, says=["soon", "10min"])
        self.refuse(2, "--move-times", "0", *why, says=["no clock"])
        self.refuse(2, "--move-times", "-525600h", *why, says=["before the year 1970"])  # to 1966
        self.refuse(2, "--cell-scale", "volts", *why, says=["volts", "agcl/seawater"])
        self.refuse(2, "--cell-scale", "sce", "--from", "2026-05-04T06:05:00Z", *why, says=["one scale"])
        self.refuse(2, "--salinity", "-3", *why, says=["-3", "unit"])
        self.refuse(2, "--temperature", "nan", *why, says=["not a number"])

    def test_times_that_would_overlap(self):
        self.refuse(2, "--move-times", "-10min", "--from", "2026-05-04T06:20:00Z", "--why", "x",
                    says=["2026-05-04T06:19:00Z", "2026-05-04T06:10:00Z", "would come after"])

    def test_the_same_twice_until_the_first_is_withdrawn(self):
        self.correct("--salinity", "10", "--from", "2026-05-04T06:10:00Z", "--why", "river")
        self.refused(1, "correct", "--archive", self.archive, "--salinity", 11, "--why", "x",
                     says=["correction 1 of deployment 1", "river", "--withdraw 1"])
        self.correct("--salinity", "11", "--to", "2026-05-04T06:09:00Z", "--why", "sea")
        self.correct("--temperature", "11", "--why", "another matter")

    def test_an_archive_that_is_not_there_and_several_deployments_without_a_name(self):
        none = self.folder / "none"
        self.refused(1, "correct", "--archive", none, "--leave-out", "--why", "x", says=["no such archive"])
        self.assertFalse(none.exists())
        other = self.folder / "other.csv"
        other.write_text(HEAD + row(50))
        self.done("import", other, "--archive", self.archive)
        self.refuse(2, "--leave-out", "--why", "x", says=["more than one deployment", "--deployment"])


class OfALogger(EndToEnd):
    def test_a_correction_holds_for_what_is_collected_later_and_collecting_goes_on(self):
        bench = self.start_bench("quiet-berth.toml")
        archive = self.folder / "a.quaycell"
        self.done("deploy", "--port", bench.port, "--interval", "10s", "--clock", "2026-05-04T06:00:00Z")
        bench.tell("advance 10min")
        self.done("collect", "--port", bench.port, "--archive", archive)
        times = [line.split(",")[0] for line in self.done("export", "--archive", archive).splitlines()[1:]]
        self.done("correct", "--archive", archive, "--move-times", "+1h", "--why", "summer time")
        self.done("correct", "--archive", archive, "--leave-out", "--why", "cell lifted",
                  "--from", times[10].replace("T06", "T07"), "--to", times[19].replace("T06", "T07"))
        bench.tell("advance 10min")
        self.done("collect", "--port", bench.port, "--archive", archive)
        after = [line.split(",")[0] for line in self.done("export", "--archive", archive).splitlines()[1:]]
        raw = [line.split(",")[0] for line in
               self.done("export", "--archive", archive, "--uncorrected").splitlines()[1:]]
        self.assertGreater(len(raw), len(times) + 50)
        self.assertEqual(after, [time.replace("T06", "T07") for time in raw[:10] + raw[20:]])
        events = json.loads(self.done("judge", "--archive", archive, "--hull", "steel", "--json"))["events"]
        self.assertTrue(all(event["time"].startswith("2026-05-04T07") for event in events), events)


if __name__ == "__main__":
    unittest.main(verbosity=2)

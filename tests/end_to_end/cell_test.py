#!/usr/bin/env python3
"""Criteria, causes and the comparison of the reference cell in the user's hands."""
import unittest
from programs import SCENARIOS, EndToEnd

HEAD = "time,potential_mv,cell_scale\r\n"
OWN_ROW = """[[criterion]]
id = "yard_steel"
subject = "steel"
kind = "absolute"
protected_from_mv = -900
scale = "agcl/seawater"
salinity_min_psu = 5
salinity_max_psu = 42
oxygen = "any"
source = "the yard"
status = "read"
rule_set = "yard"
"""


class ReferenceCell(EndToEnd):
    def setUp(self):
        super().setUp()
        self.archive = self.folder / "a.quaycell"
        self.vessel = self.folder / "tern.toml"
        self.vessel.write_text('[vessel]\nname = "Tern"\nhull = "steel"\n[cell]\nserial = "AG-7"\n')
        trace = self.folder / "day.csv"
        trace.write_text(HEAD + "".join(f"2026-05-04T06:{minute:02}:00Z,-930,agcl/seawater\r\n"
                                        for minute in range(30)))
        self.done("import", trace, "--archive", self.archive)

    def compare(self, value, time, *options, cell="AG-7"):
        return self.document("check-cell", "--between-cells", value, "--cell", cell, "--time", time,
                             "--archive", self.archive, "--author", "Ann", *options)

    def judged(self, *options):
        return self.document("judge", "--archive", self.archive, "--vessel", self.vessel, *options)

    def test_the_limits_are_those_of_its_source(self):
        for value, finding in (("4.9", "good"), ("-7", "doubtful"), ("12mV", "rejected")):
            found = self.document("check-cell", "--between-cells", value)
            self.assertEqual(found["finding"], finding)
            self.assertIn("UFGS-13111A", found["source"])
        words = self.done("check-cell", "--zinc", "-1.031V", "--temperature", 14)
        self.assertTrue(words.startswith("doubtful: the zinc reads"), words)
        by_zinc = self.document("check-cell", "--zinc", "-1.031V", "--temperature", 14)
        self.assertEqual(by_zinc["assumed"], ["sea water, salinity 30 to 40 PSU",
                                              "cell on agcl/open, a bare element in this water"])
        self.refused(2, "check-cell", "--zinc", "-1.031", says=["--zinc", "V"])
        self.refused(2, "check-cell", "--zinc", -1031, "--water", "brackish", says=["films over"])
        self.refused(2, "check-cell", says=["--between-cells", "--zinc"])
        self.refused(2, "check-cell", "--between-cells", "little", says=["little"])

    def test_a_logger_with_both_cells_measures_between_them(self):
        scenario = self.folder / "pair.toml"
        berth = (SCENARIOS / "quiet-berth.toml").read_text()
        scenario.write_text(berth.replace("[logger]", "[logger]\ncell_b_offset_mv = 7"))
        bench = self.start_bench(scenario)
        found = self.document("check-cell", "--port", bench.port, "--cell", "AG-7", "--archive", self.archive)
        self.assertEqual(found["finding"], "doubtful")
        self.assertAlmostEqual(abs(found["difference_mv"]), 7, delta=0.6)
        self.assertEqual(len(self.document("check-cell", "--archive", self.archive)["cell_checks"]), 1)
        self.refused(2, "check-cell", "--port", bench.port, "--zinc", -1031, says=["--zinc"])

    def test_a_logger_without_cell_b_has_nothing_to_measure_between(self):
        bench = self.start_bench("quiet-berth.toml")
        self.refused(1, "check-cell", "--port", bench.port, says=["cell B", "--between-cells"])

    def test_a_good_cell_makes_the_judgement_more_certain(self):
        unchecked = self.judged()["expanded_uncertainty_mv"]
        self.compare(2.1, "2026-05-04T18:00:00Z")
        judged = self.judged()
        self.assertLess(judged["expanded_uncertainty_mv"], unchecked)
        self.assertTrue(any("AG-7" in reason and "2.1 mV apart" in reason for reason in judged["reasons"]),
                        judged["reasons"])

    def test_a_doubtful_cell_is_not_made_certain_by_a_date_of_the_vessel_file_nor_by_a_word(self):
        unchecked = self.judged()["expanded_uncertainty_mv"]
        self.vessel.write_text(self.vessel.read_text() + "last_check = 2026-05-04\n")
        self.assertLess(self.judged()["expanded_uncertainty_mv"], unchecked)
        self.compare(8, "2026-05-04T18:00:00Z")
        self.assertEqual(self.judged()["expanded_uncertainty_mv"], unchecked)
        self.assertEqual(self.judged("--cell-checked")["expanded_uncertainty_mv"], unchecked)
        told, = (reason for reason in self.judged()["reasons"] if "AG-7" in reason)
        self.assertIn("8.0 mV apart", told)
        self.assertIn("counts as one that was not compared", told)

    def test_a_cell_that_was_rejected_days_before_counts_as_one_that_was_not_compared(self):
        unchecked = self.judged()["expanded_uncertainty_mv"]
        self.compare(25, "2026-05-02T20:00:00Z")
        self.compare(2, "2026-05-04T20:00:00Z")
        self.assertEqual(self.judged()["expanded_uncertainty_mv"], unchecked)
        self.assertTrue(any("25.0 mV apart" in reason and "counts as one that was not compared" in reason
                            for reason in self.judged()["reasons"]), self.judged()["reasons"])
        self.compare(2, "2026-05-04T05:00:00Z")  # after it was cleaned, and before the readings
        self.assertLess(self.judged()["expanded_uncertainty_mv"], unchecked)

    def test_of_a_week_the_cell_has_to_be_good_before_and_after(self):
        week = self.folder / "week.csv"
        week.write_text(HEAD + "".join(f"2026-06-{day:02}T{hour:02}:00:00Z,-930,agcl/seawater\r\n"
                                       for day in range(1, 8) for hour in range(24)))
        self.done("import", week, "--archive", self.archive)
        unchecked = self.judged("--deployment", 2)["expanded_uncertainty_mv"]
        self.compare(2.1, "2026-06-01T00:00:00Z")
        judged = self.judged("--deployment", 2)
        self.assertEqual(judged["expanded_uncertainty_mv"], unchecked)
        self.assertTrue(any("compare it again when it comes home" in reason for reason in judged["reasons"]),
                        judged["reasons"])
        self.compare(-1.4, "2026-06-10T12:00:00Z")
        judged = self.judged("--deployment", 2)
        self.assertLess(judged["expanded_uncertainty_mv"], unchecked)
        self.assertFalse(any("not compared" in reason for reason in judged["reasons"]), judged["reasons"])

    def test_another_cell_or_another_day_changes_nothing(self):
        unchecked = self.judged()["expanded_uncertainty_mv"]
        self.compare(2.1, "2026-05-04T18:00:00Z", cell="AG-8")
        self.compare(2.1, "2026-05-20T18:00:00Z")
        self.assertEqual(self.judged()["expanded_uncertainty_mv"], unchecked)

    def test_readings_of_a_rejected_cell_are_not_judged(self):
        self.compare(2.1, "2026-05-04T05:00:00Z")
        self.compare(14, "2026-05-04T18:00:00Z")
        judged = self.judged()
        self.assertEqual(judged["verdict"], "no-verdict")
        self.assertTrue(any("rejected" in reason for reason in judged["reasons"]), judged["reasons"])

    def test_what_was_found_is_kept_with_who_and_when(self):
        self.compare(-3, "2026-05-04T05:00:00Z")
        check, = self.document("check-cell", "--archive", self.archive)["cell_checks"]
        self.assertEqual((check["cell"], check["against"], check["difference_mv"], check["finding"],
                          check["author"], check["time"]),
                         ("AG-7", "cell", -3, "good", "Ann", "2026-05-04T05:00:00Z"))


class Criteria(EndToEnd):
    def test_every_row_tells_its_source_and_status_and_where_tables_disagree(self):
        told = self.document("criteria")
        self.assertGreater(len(told["criteria"]), 40)
        for row in told["criteria"]:
            self.assertTrue(row["source"] and row["status"], row)
        apart, = (d for d in told["disagreements"]
                  if (d["subject"], d["end"]) == ("aluminium", "protected_from_mv"))
        self.assertEqual(apart["spread_mv"], 150)  # -800 of EN 12473 against -950 of the small-craft table
        self.assertIn("150 mV apart", self.done("criteria", "--subject", "aluminium"))
        self.refused(2, "criteria", "--rules", "none", says=["small-craft"])
        self.refused(2, "criteria", "--subject", "paper", says=["paper"])

    def test_a_row_of_ones_own_is_judged_by_and_a_malformed_one_refused_with_line_and_key(self):
        own = self.folder / "own.toml"
        own.write_text(OWN_ROW)
        judged = self.document("judge", "--potential", -870, "--hull", "steel", "--rules", "yard",
                               "--criteria", own, "--scale", "agcl/seawater", "--uncertainty", 12)
        self.assertEqual(judged["verdict"], "under-protected")
        self.assertEqual(judged["criteria"][0]["source"], "the yard")
        own.write_text(OWN_ROW.replace("-900", '"a lot"'))
        self.refused(2, "judge", "--potential", -870, "--hull", "steel", "--criteria", own,
                     says=["own.toml:5", "protected_from_mv"])
        own.write_text("")
        self.refused(2, "criteria", "--criteria", own, says=["own.toml", "criterion", "missing"])
        own.write_text(OWN_ROW + OWN_ROW.replace("yard_steel", "again"))
        self.refused(2, "criteria", "--criteria", own, says=["yard_steel", "again", "both judge steel"])

    def test_in_fresh_water_a_baseline_is_judged_by_in_place_of_the_rows(self):
        asked = ["judge", "--potential", -700, "--hull", "grp", "--salinity", 0.2, "--uncertainty", 10]
        self.assertEqual(self.document(*asked)["verdict"], "no-verdict")
        judged = self.document(*asked, "--baseline", -400)
        self.assertEqual(judged["criteria"][0]["kind"], "shift")
        self.assertEqual(judged["criteria"][0]["potential_mv"], -300)
        self.assertEqual(judged["verdict"], "protected", "-200 mV is 100 mV off, 10 mV uncertain")
        self.assertTrue(judged["reasons"][0].startswith("judged by the change from the baseline"))

    def test_a_reading_of_bare_bronze_names_its_cause(self):
        judged = self.document("judge", "--potential", -300, "--hull", "grp", "--scale", "agcl/seawater")
        cause = judged["causes"][0]
        self.assertEqual(cause["cause"], "free-corrosion")
        self.assertIn("manganese bronze", cause["why"])
        swapped = self.document("judge", "--potential", 600, "--hull", "grp")
        self.assertEqual(swapped["causes"][0]["cause"], "leads-swapped")


if __name__ == "__main__":
    unittest.main(verbosity=2)

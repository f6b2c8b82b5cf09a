#!/usr/bin/env python3
"""Alloy, size and wear of anodes in the user's hands. Boats, weighings and prices are invented."""
import datetime
import json
import sqlite3
import unittest
from contextlib import closing

from programs import EndToEnd, quaycell


def day(number):
    """Counted from 200 days ago: what was weighed lies behind, haul-outs ahead."""
    return str(datetime.datetime.now(datetime.timezone.utc).date() + datetime.timedelta(number - 200))


# 1 A for two years on zinc of 780 Ah/kg, used to 85 %, in anodes of 5 kg of 0.4 x 0.1 m.
KNOWN = ("anodes", "size", "--current-initial-a", 1, "--current-mean-a", 1, "--current-final-a", 1, "--years", 2,
         "--alloy", "zinc", "--capacity-ah-kg", 780, "--utilisation", 0.85, "--mass-kg", 5, "--length-m", 0.4,
         "--width-m", 0.1, "--shape", "flush", "--resistivity-ohm-m", 0.25, "--driving-mv", 230)
PLATE = ("--mass-kg", 2.3, "--length-m", 0.3, "--width-m", 0.15, "--thickness-m", 0.04, "--shape", "flush")
HULL = ("--waterline-m", 11, "--beam-m", 3.8, "--draught-m", 1.5, "--form", "full")


class Choose(EndToEnd):
    def fitness(self, *options):
        told = self.document("anodes", "choose", *options)
        return {each["alloy"]: each["fitness"] for each in told["alloys"]}

    def test_each_water_has_its_alloy(self):
        self.assertEqual(self.fitness("--hull", "steel", "--water", "sea"),
                         {"zinc": "first choice", "aluminium": "first choice", "magnesium": "dangerous there"})
        self.assertEqual(self.fitness("--hull", "steel", "--water", "fresh"),
                         {"magnesium": "first choice", "aluminium": "second choice", "zinc": "useless there"})

    def test_a_boat_that_moves_from_the_sea_to_a_river(self):
        vessel = self.folder / "tern.toml"
        vessel.write_text('[vessel]\nname = "Tern"\nhull = "grp"\n[water]\nsalinity_psu = [0.2, 34]\n'
                          '[[metal]]\nname = "propeller"\nkind = "copper-alloy"\n')
        self.assertEqual(self.fitness("--vessel", vessel)["aluminium"], "first choice")
        self.assertEqual(self.fitness("--vessel", vessel)["zinc"], "useless there")

    def test_the_band_of_the_hull_stands_beside_what_the_alloys_reach(self):
        told = self.document("anodes", "choose", "--hull", "aluminium", "--salinity", 33)
        self.assertIsNotNone(told["band"]["over_at_mv"])
        beyond = {each["alloy"]: each["reaches_beyond_band"] for each in told["alloys"]}
        self.assertTrue(beyond["magnesium"])
        self.assertFalse(beyond["zinc"])

    def test_an_unknown_place_lists_those_there_are(self):
        self.refused(2, "anodes", "choose", "--hull", "steel", "--place", "mast", says=["mast", "trim-tab"])
        words = self.done("anodes", "choose", "--hull", "steel", "--place", "engine")
        self.assertIn("sees nothing of the cooling water", words)
        self.assertNotIn("rudder:", words)


class Size(EndToEnd):
    def test_known_currents_by_hand(self):
        told = self.document(*KNOWN)
        # DNV-RP-B401: 1 A x 2 x 8760 h / (0.85 x 780 Ah/kg); Lloyd: 0.25 / 0.5 ohm; 230 mV over it.
        self.assertAlmostEqual(told["mass_kg"], 17520 / 663, places=6)
        self.assertAlmostEqual(told["resistance_ohm"]["initial"], 0.5, places=9)
        self.assertAlmostEqual(told["anode_current_a"]["initial"], 0.46, places=9)
        self.assertAlmostEqual(told["count"]["by_mass"], 17520 / 663 / 5, places=6)
        self.assertEqual(told["count"]["needed"], 6)
        self.assertAlmostEqual(told["life_years"], 6 * 5 * 663 / 8760, places=6)
        self.assertGreater(told["resistance_ohm"]["final"], told["resistance_ohm"]["initial"])
        self.assertIn("needed, rounded up, 6", self.done(*KNOWN))

    def test_a_ship_of_a_handbook(self):
        # A worked example of a ship, transcribed, of unnamed source: 53.8, 322.7 and 591.6 A, 66,515 kg, 0.379 ohm, 0.77 A, 70 anodes at
        # first (unrounded 70.3) and 2419 by mass.
        told = self.document("anodes", "size", "--area-m2", 13446.04, "--current-density-ma-m2", 200,
                             "--breakdown-initial", 0.02, "--breakdown-mean", 0.12, "--breakdown-final", 0.22,
                             "--years", 40, "--alloy", "aluminium", "--capacity-ah-kg", 2000, "--utilisation", 0.85,
                             "--mass-kg", 27.5, "--length-m", 1.4, "--width-m", 0.15, "--thickness-m", 0.06, "--shape",
                             "flush", "--resistivity-ohm-m", 0.5875, "--driving-mv", 290)
        for key, value in (("initial", 53.784), ("mean", 322.705), ("final", 591.626)):
            self.assertAlmostEqual(told["current_a"][key], value, delta=0.001)
        self.assertAlmostEqual(told["mass_kg"], 66515, delta=1)
        self.assertAlmostEqual(told["resistance_ohm"]["initial"], 0.379, delta=0.0005)
        self.assertAlmostEqual(told["count"]["by_initial_current"], 70.3, delta=0.05)
        self.assertAlmostEqual(told["count"]["by_mass"], 2418.7, delta=0.1)

    def test_a_range_in_gives_a_range_out(self):
        told = self.document("anodes", "size", "--hull", "steel", *HULL, "--docking-months", 18, "--years", 1, "--alloy",
                             "zinc", "--utilisation", 0.85, *PLATE)
        # 58.3 m2 at 15 to 25 mA/m2: 11.6 to 19.3 kg of zinc a year, as recomputed by hand.
        self.assertAlmostEqual(told["mass_kg"]["low"], 11.6, delta=0.05)
        self.assertAlmostEqual(told["mass_kg"]["high"], 19.3, delta=0.05)
        self.assertIn("rule of thumb", " ".join(told["sources"]))

    def test_renewing_at_half_gone_is_told_beside_what_the_code_uses(self):
        told = self.document(*KNOWN)["renewed_at_half_gone"]
        # Six of 5 kg last 6 x 5 x 663 / 8760 years to 85 %; 26.4 kg / 5 kg x 0.85 / 0.5, rounded up.
        self.assertAlmostEqual(told["life_years"], 6 * 5 * 663 / 8760 * 0.5 / 0.85, places=6)
        self.assertEqual(told["needed"], 9)
        self.assertIn("renews at half gone", self.done(*KNOWN))

    def test_densities_of_sea_water_are_told_as_such_elsewhere(self):
        for water, says in (("fresh", "fresh water"), ("brackish", "twice as much")):
            told = self.document("anodes", "size", "--hull", "steel", *HULL, "--docking-months", 18, "--years", 1,
                                 "--alloy", "aluminium", "--water", water, *PLATE)
            self.assertTrue(any(says in warning for warning in told["warnings"]), told["warnings"])
        told = self.document("anodes", "size", "--hull", "steel", *HULL, "--docking-months", 18, "--years", 1, "--alloy",
                             "aluminium", "--water", "sea", *PLATE)
        self.assertEqual(told["warnings"], [])

    def test_a_hull_that_takes_no_current_is_refused_by_its_measures(self):
        for hull in ("wood", "grp"):
            self.refused(1, "anodes", "size", "--hull", hull, *HULL, "--docking-months", 18, "--years", 1, "--alloy",
                         "zinc", *PLATE, says=[hull, "--area-m2"])

    def test_magnesium_on_wood_in_the_sea_is_computed_only_for_who_insists(self):
        size = ("anodes", "size", "--hull", "wood", "--area-m2", 0.3, "--flow", "still", "--years", 1, "--alloy",
                "magnesium", "--mass-kg", 1, "--length-m", 0.3, "--width-m", 0.15, "--shape", "flush")
        self.refused(1, *size, says=["wood", "--insist"])
        told = self.document(*size, "--insist")
        self.assertTrue(any("wood" in warning for warning in told["warnings"]), told["warnings"])

    def test_wrong_amounts(self):
        def with_(option, value):
            arguments = list(KNOWN)
            arguments[arguments.index(option) + 1] = value
            return arguments
        for option, value, says in (("--years", 0, "time"), ("--mass-kg", -1, "mass"), ("--width-m", 0, "width"),
                                    ("--capacity-ah-kg", 5000, "dissolving"), ("--utilisation", 1.5, "whole anode"),
                                    ("--alloy", "lead", "magnesium"), ("--shape", "cube", "stand-off"),
                                    ("--current-mean-a", "a lot", "--current-mean-a"), ("--driving-mv", "nan", "nan")):
            self.refused(2, *with_(option, value), says=[says])
        self.refused(2, "anodes", "size", "--area-m2", 0, "--current-density-ma-m2", 20, "--years", 1, "--alloy", "zinc",
                     *PLATE, says=["current of 0"])
        self.refused(2, "anodes", "size", "--years", 1, "--alloy", "zinc", *PLATE, says=["--area-m2"])


class Wear(EndToEnd):
    def setUp(self):
        super().setUp()
        self.archive = ("--archive", self.folder / "a.quaycell")

    def fit(self, place="hull, port", fitted=None, mass_kg=2.3):
        self.done("anodes", "fitted", *self.archive, "--place", place, "--alloy", "aluminium", "--mass-kg", mass_kg,
                  "--date", fitted or day(0))

    def weigh(self, mass_kg, weighed, place="hull, port"):
        self.done("anodes", "weighed", *self.archive, "--place", place, "--mass-kg", mass_kg, "--date", weighed)

    def test_three_weighings_tell_when_half_is_gone(self):
        self.fit()
        # Five grams a day from noon to noon: 50, 100 and 150 days. Half of 2.3 kg is gone after 230.
        for mass_kg, weighed in ((2.05, day(50)), (1.80, day(100)), (1.55, day(150))):
            self.weigh(mass_kg, weighed)
        picture = self.folder / "wear.svg"
        told = self.document("anodes", "wear", *self.archive, "--place", "hull, port", "--haul-out", day(205),
                             "--haul-out", day(600), "--output", picture)
        anode = told["anodes"][0]
        self.assertAlmostEqual(anode["rate_g_day"]["middle"], 5, delta=0.01)
        self.assertLess(anode["renew_from"], day(230))
        self.assertGreater(anode["renew_to"], day(230))
        self.assertEqual([each["lasts"] for each in anode["haul_outs"]], ["lasts", "does not last"])
        # 5 g a day of 2000 to 2500 Ah/kg: 0.417 to 0.521 A, and the rate's own range.
        self.assertLess(anode["current_a"]["low"], 0.417)
        self.assertGreater(anode["current_a"]["high"], 0.521)
        self.assertIn("half gone: renew it", picture.read_text())

    def test_prices_decide_between_now_and_one_more_haul_out(self):
        self.fit()
        self.weigh(1.8, day(100))
        prices = ("--anode-price", 60, "--haul-out-price", 350)
        self.assertIn("cheaper than coming out for it", self.done("anodes", "wear", *self.archive, *prices))
        self.assertIn("coming out for it later is cheaper",
                      self.done("anodes", "wear", *self.archive, "--renew-at-percent-gone", 99, "--anode-price", 900,
                                "--haul-out-price", 20))

    def test_each_help_shows_examples_of_its_own_command(self):
        for command in ("choose", "size", "fitted", "weighed", "strike", "log", "wear", "plan"):
            examples = [line for line in self.done("anodes", command, "--help").splitlines()
                        if line.lstrip().startswith("quaycell ")]
            self.assertTrue(examples, command)
            for line in examples:
                self.assertTrue(line.lstrip().startswith(f"quaycell anodes {command}"), line)

    def test_a_haul_out_that_is_over_is_refused(self):
        self.fit()
        self.refused(2, "anodes", "wear", *self.archive, "--haul-out", day(100), says=["is over", "--haul-out"])

    def test_a_spent_anode_never_lasts(self):
        self.fit()
        self.weigh(2.25, day(50))
        self.weigh(0.4, day(190))
        anode = self.document("anodes", "wear", *self.archive, "--haul-out", day(230))["anodes"][0]
        self.assertTrue(anode["is_due"])
        self.assertEqual(anode["haul_outs"][0]["lasts"], "does not last")
        words = self.done("anodes", "wear", *self.archive)
        self.assertIn("it is due: 50 % and more are gone", words)
        self.assertNotIn("nothing shows", words)

    def test_of_one_that_is_gone_only_the_least_rate_is_told(self):
        self.fit()
        self.weigh(0, day(100))
        anode = self.document("anodes", "wear", *self.archive)["anodes"][0]
        # 2.3 kg less 2 x 23 g in 100 days, by hand.
        self.assertAlmostEqual(anode["rate_g_day"]["low"], 22.54, places=6)
        self.assertIsNone(anode["rate_g_day"]["high"])
        self.assertIsNone(anode["current_a"]["high"])
        self.assertEqual(anode["share_left"], 0)
        words = self.done("anodes", "wear", *self.archive, "--place", "hull, port", "--output", self.folder / "wear.svg")
        self.assertIn("it wasted at least 23 g a day", words)
        self.assertIn("it is gone: nothing was left of it on " + day(100), words)
        self.refused(2, "anodes", "weighed", *self.archive, "--place", "hull, port", "--mass-kg", 1, "--date", day(150),
                     says=["grew", "fitted anew"])

    def test_what_cannot_be_is_refused_and_changes_nothing(self):
        self.fit()
        self.weigh(1.8, day(100))
        weighed = ("anodes", "weighed", *self.archive, "--place", "hull, port")
        self.refused(2, *weighed, "--mass-kg", 2.2, "--date", day(131), says=["grew", "fitted anew"])
        self.refused(2, *weighed, "--mass-kg", 1.7, "--date", day(-81), says=["before its fitting"])
        self.refused(2, *weighed, "--mass-kg", 1.7, "--date", "2126-01-06", says=["still to come"])
        self.refused(2, *weighed, says=["--percent-left"])
        self.refused(1, "anodes", "weighed", *self.archive, "--place", "keel", "--mass-kg", 1,
                     says=["keel", "hull, port"])
        self.assertEqual(self.document("anodes", "wear", *self.archive)["anodes"][0]["weighings"], 1)

    def test_more_than_its_measures_hold_is_refused(self):
        fitted = ("anodes", "fitted", *self.archive, "--place", "keel", "--alloy", "aluminium", "--date", day(0))
        # 0.3 x 0.15 x 0.04 m of 2750 kg/m3 are 4.95 kg.
        self.refused(2, *fitted, "--mass-kg", 6, "--size-m", "0.3x0.15x0.04", says=["do not fit", "4.95 kg"])
        self.refused(2, *fitted, "--mass-kg", 2, "--size-m", "0.3x0.15", says=["--size-m", "0.30x0.15x0.04"])
        self.done(*fitted, "--mass-kg", 4.8, "--size-m", "0.3x0.15x0.04")
        self.assertIn("4.8 kg, 0.3x0.15x0.04 m", self.done("anodes", "log", *self.archive))

    def test_another_alloy_beside_the_one_aboard_is_kept_and_warned_of(self):
        fitted = ("anodes", "fitted", *self.archive, "--mass-kg", 1, "--date", day(0))
        self.fit()
        same = quaycell(*fitted, "--place", "hull, starboard", "--alloy", "aluminium")
        self.assertNotIn("warning", same.stderr)
        other = quaycell(*fitted, "--place", "rudder", "--alloy", "zinc")
        self.assertEqual(other.returncode, 0, other.stderr)
        self.assertIn("entry 3 kept", other.stderr)
        self.assertIn("this one is of zinc, and not so: hull, port (aluminium), hull, starboard (aluminium)", other.stderr)
        why = "Never two alloys on one bonding: the more active one is used up for the other (technicians' posts; transcribed)."
        self.assertIn(why, other.stderr)
        self.assertIn(why, self.done("anodes", "choose", "--hull", "steel"))

    def test_a_struck_entry_does_not_count_and_a_new_anode_begins_anew(self):
        self.fit()
        self.weigh(0.2, day(100))
        self.done("anodes", "strike", *self.archive, "--entry", 2, "--why", "read the wrong scale")
        self.weigh(1.8, day(100))
        self.assertAlmostEqual(self.document("anodes", "wear", *self.archive)["anodes"][0]["rate_g_day"]["middle"], 5,
                               delta=0.01)
        self.fit(fitted=day(157))
        fresh = self.document("anodes", "wear", *self.archive)["anodes"][0]
        self.assertEqual(fresh["weighings"], 0)
        self.assertIn("nothing is known", fresh["why_not"])
        self.refused(1, "anodes", "strike", *self.archive, "--entry", 99, "--why", "typo", says=["no entry 99"])
        self.refused(1, "anodes", "strike", *self.archive, "--entry", 1, "--why", "typo", says=["weighings", "log"])
        for entry in (2, 3):
            self.refused(1, "anodes", "strike", *self.archive, "--entry", entry, "--why", "again", says=["already"])
        listed = self.done("anodes", "log", *self.archive)
        self.assertIn(f"2 {day(100)} hull, port: weighed 0.2 kg", listed)
        self.assertIn("(struck)", listed)
        # One of long ago, entered for the record, does not take the place of the present one.
        self.fit(fitted=day(-361))
        self.assertIn(day(157), self.document("anodes", "wear", *self.archive)["anodes"][0]["fitted"])

    def test_a_forgotten_renewal_keeps_what_was_weighed_since(self):
        def renewed(mass_kg):
            return ("anodes", "fitted", *self.archive, "--place", "hull, port", "--alloy", "aluminium", "--mass-kg",
                    mass_kg, "--date", day(100))
        self.fit()
        self.weigh(1.8, day(50))
        self.weigh(1.7, day(150))
        self.refused(2, *renewed(1.2), says=["grew from 1.2 to 1.7 kg"])
        self.assertEqual(self.document("anodes", "wear", *self.archive)["anodes"][0]["weighings"], 2)
        told = quaycell(*renewed(2.2))
        self.assertEqual(told.returncode, 0, told.stderr)
        self.assertIn(f"the 1.7 kg of {day(150)} count for this anode now", told.stderr)
        anode = self.document("anodes", "wear", *self.archive)["anodes"][0]
        # Ten grams a day: 2.2 to 1.7 kg in 50 days.
        self.assertEqual((anode["weighings"], anode["fitted"][:10]), (1, day(100)))
        self.assertAlmostEqual(anode["rate_g_day"]["middle"], 10, delta=0.01)

    def test_of_several_boats_each_has_her_own(self):
        self.fit("shaft")
        self.done("anodes", "fitted", *self.archive, "--boat", "Gull", "--place", "shaft", "--alloy", "zinc", "--mass-kg",
                  1, "--date", day(0))
        fitted = ("anodes", "fitted", *self.archive, "--place", "keel", "--alloy", "zinc", "--mass-kg", 1, "--date", day(0))
        self.done(*fitted)  # Gull is the only boat that has a name
        self.done("anodes", "fitted", *self.archive, "--boat", "Tern", "--place", "rudder", "--alloy", "zinc", "--mass-kg",
                  1, "--date", day(0))
        self.refused(2, *fitted, says=["several boats", "Gull, Tern", "--boat NAME"])
        self.done(*fitted, "--boat", "Tern")
        for boat, places in (("Gull", ["shaft", "keel"]), ("Tern", ["rudder", "keel"])):
            told = self.document("anodes", "wear", *self.archive, "--boat", boat)
            self.assertEqual([each["place"] for each in told["anodes"]], places)

    def test_charge_against_what_was_weighed(self):
        self.fit()
        self.weigh(1.8, day(100))
        # 100 days at 0.4 A: 960 Ah, 0.384 to 0.48 kg of aluminium (2500 to 2000 Ah/kg), by hand.
        told = self.document("anodes", "wear", *self.archive, "--demand-a", 0.4)["anodes"][0]
        self.assertAlmostEqual(told["demand_would_have_used_kg"]["low"], 0.384, places=6)
        self.assertAlmostEqual(told["demand_would_have_used_kg"]["high"], 0.48, places=6)
        self.assertIn("nobody measured the", self.done("anodes", "wear", *self.archive, "--demand-a", "0.4"))
        self.refused(2, "anodes", "wear", *self.archive, "--demand-a", "some", says=["--demand-a"])


class OfABoat(EndToEnd):
    """One whose anodes and trace are in an archive."""

    def setUp(self):
        super().setUp()
        self.archive = self.folder / "a.quaycell"
        self.vessel = self.folder / "tern.toml"
        self.vessel.write_text('[vessel]\nname = "Tern"\nhull = "steel"\n[water]\nsalinity_psu = 33\n'
                               '[cell]\nscale = "agcl/seawater"\n')

    def trace(self, potential_mv):
        day = self.folder / "day.csv"
        day.write_text("time,potential_mv,cell_scale\r\n" + "".join(
            f"2026-08-04T06:{minute:02}:00Z,{potential_mv},agcl/seawater\r\n" for minute in range(60)))
        self.done("import", day, "--archive", self.archive)

    def anode(self, left_kg, alloy="zinc"):
        self.done("anodes", "fitted", "--archive", self.archive, "--place", "rudder", "--alloy", alloy, "--mass-kg", 2,
                  "--date", "2026-04-01")
        self.done("anodes", "weighed", "--archive", self.archive, "--place", "rudder", "--mass-kg", left_kg, "--date",
                  "2026-08-01")


class Plan(OfABoat):
    """The trace decides what the wear means."""

    def plan(self, *options):
        return self.document("anodes", "plan", "--archive", self.archive, "--vessel", self.vessel, *options)

    def test_not_wasting_and_too_positive_is_not_connected(self):
        self.anode(2)
        self.trace(-600)
        told = self.plan()
        self.assertEqual(told["verdict"], "under-protected")
        self.assertEqual([each["id"] for each in told["anodes"][0]["findings"]], ["not-working"])

    def test_not_wasting_and_protected_is_the_work_of_others(self):
        self.anode(2)
        self.trace(-950)
        self.assertEqual([each["id"] for each in self.plan()["anodes"][0]["findings"]], ["protected-by-others"])

    def test_without_a_trace_only_the_wear_speaks(self):
        self.anode(1.5)
        told = self.plan("--haul-out", day(2000))
        self.assertIsNone(told["verdict"])
        self.assertEqual(told["anodes"][0]["findings"], [])
        self.assertEqual(told["anodes"][0]["at_haul_out"], "does not last")

    def test_an_alloy_for_other_water_is_not_bought_again(self):
        self.anode(1.5, alloy="magnesium")
        anode = self.plan()["anodes"][0]
        self.assertEqual((anode["fitted_alloy"], anode["buy"]), ("magnesium", "zinc"))
        # The same size is four times as heavy: 7130 against 1770 kg/m3.
        self.assertAlmostEqual(anode["mass_kg"], 2 * 7130 / 1770, places=6)
        words = self.done("anodes", "plan", "--archive", self.archive, "--vessel", self.vessel)
        self.assertIn("in place of magnesium", words)
        self.assertIn("[ ] engine, where there is one:", words)
        self.assertIn("both sides alike", words)

    def test_two_alloys_become_one_and_what_lasts_is_not_bought(self):
        self.anode(1.5)
        for place in ("hull, port", "hull, starboard"):
            self.done("anodes", "fitted", "--archive", self.archive, "--place", place, "--alloy", "aluminium",
                      "--mass-kg", 2, "--date", day(0))
            self.done("anodes", "weighed", "--archive", self.archive, "--place", place, "--mass-kg", 1.9, "--date", day(199))
        told = self.plan("--haul-out", day(201))
        self.assertEqual([each["buy"] for each in told["anodes"]], ["aluminium", None, None])
        self.assertIn("zinc, aluminium", " ".join(told["cautions"]))

    def test_anodes_of_another_boat_are_not_taken(self):
        self.done("anodes", "fitted", "--archive", self.archive, "--boat", "Gull", "--place", "rudder", "--alloy", "zinc",
                  "--mass-kg", 2, "--date", "2026-04-01")
        self.refused(1, "anodes", "plan", "--archive", self.archive, "--vessel", self.vessel, says=["no anode of Tern"])


    def test_what_another_boats_weighing_tells_to_be_hers_is_not_bought(self):
        def entered(what, place, *options):
            self.done("anodes", what, "--archive", self.archive, "--place", place, *options)
        new = ("--alloy", "zinc", "--mass-kg", 1, "--date", "2026-04-01")
        entered("fitted", "rudder", *new)
        entered("fitted", "shaft", "--boat", "Gull", *new)
        entered("weighed", "rudder", "--boat", "Gull", "--mass-kg", 0.9, "--date", "2026-06-01")
        entered("fitted", "keel", "--boat", "Tern", *new)
        self.assertEqual([each["place"] for each in self.plan()["anodes"]], ["keel"])


class Report(OfABoat):
    """The log goes along, and is compared with the archive."""

    def report(self, *options, name="tern.pdf"):
        self.done("report", "--archive", self.archive, "--vessel", self.vessel, "--output", self.folder / name, *options)

    def findings(self, code, name="tern.pdf"):
        result = quaycell("verify", self.folder / name, "--archive", self.archive, "--json")
        self.assertEqual(result.returncode, code, result.stderr)
        return {each["name"]: each for each in json.loads(result.stdout)["findings"]}

    def test_a_report_carries_the_log_and_follows_from_it(self):
        self.anode(1.5)
        self.trace(-950)
        for name in ("tern.pdf", "tern.html"):
            self.report("--haul-out", "2027-03-20", name=name)
            found = self.findings(0, name)
            self.assertIn("anodes-judgement.json, computed again", found)
            self.assertEqual(found["anodes.json, archive"]["what"], "the archive holds all 2")
        self.done("anodes", "strike", "--archive", self.archive, "--entry", 2, "--why", "wrong scale")
        self.refused(2, "anodes", "strike", "--archive", self.archive, "--entry", 1, "--why", "", says=["--why"])
        page = (self.folder / "tern.html").read_text(encoding="utf-8")
        self.assertIn("Anodes to buy for the haul-out of 2027-03-20", page)

    def test_what_was_entered_since_is_newer_and_what_is_gone_differs(self):
        self.anode(1.5)
        self.trace(-950)
        self.report()
        self.done("anodes", "strike", "--archive", self.archive, "--entry", 2, "--why", "wrong scale")
        self.assertRegex(self.findings(0)["anodes.json, archive"]["what"], "all 2, and 1 newer one.*strike")
        with closing(sqlite3.connect(self.archive)) as archive, archive:
            archive.execute("DELETE FROM anode_entry WHERE id = 2")
        found = self.findings(1)["anodes.json, archive"]
        self.assertFalse(found["agrees"])
        self.assertRegex(found["what"], "^entry 2: weighed.*is not in the archive")

    def test_a_report_of_a_boat_without_a_log_names_it_as_missing(self):
        self.done("anodes", "fitted", "--archive", self.archive, "--boat", "Gull", "--place", "rudder", "--alloy", "zinc",
                  "--mass-kg", 2, "--date", "2026-04-01")
        self.trace(-950)
        self.report(name="tern.html")
        page = (self.folder / "tern.html").read_text(encoding="utf-8")
        self.assertIn("none: the archive holds none of this boat", page)
        self.assertIn("the archive holds none of Tern", self.findings(0, "tern.html")["anodes.json, archive"]["what"])
        # Entered since, or taken out of the report: that cannot be told.
        self.done("anodes", "fitted", "--archive", self.archive, "--boat", "Tern", "--place", "rudder", "--alloy", "zinc",
                  "--mass-kg", 2, "--date", "2026-04-01")
        found = self.findings(1, "tern.html")["anodes.json, archive"]
        self.assertIsNone(found["agrees"])
        self.assertIn("holds 1 entry on anodes that may be of Tern", found["what"])

    def test_another_boat_that_comes_into_the_archive_changes_no_report(self):
        def fitted(boat):
            self.done("anodes", "fitted", "--archive", self.archive, "--boat", boat, "--place", "rudder", "--alloy",
                      "zinc", "--mass-kg", 2, "--date", "2026-04-01")
        fitted("Tern")
        self.trace(-950)
        self.done("report", "--archive", self.archive, "--hull", "grp", "--output", self.folder / "tern.html")
        for comes in ((), ("Gull",)):
            for boat in comes:
                fitted(boat)
            self.assertEqual(self.findings(0, "tern.html")["anodes.json, archive"]["what"], "the archive holds all 1")
        # Of two boats neither is taken, and the report does not say whose it is.
        self.done("report", "--archive", self.archive, "--hull", "grp", "--output", self.folder / "any.html")
        self.assertIn("does not name its boat", self.findings(1, "any.html")["anodes.json, archive"]["what"])

    def test_what_cannot_be_shown_is_not_kept(self):
        self.refused(2, "anodes", "fitted", "--archive", self.archive, "--place", "", "--alloy", "zinc", "--mass-kg", 2,
                     says=["--place", "nothing is said"])
        self.refused(2, "anodes", "fitted", "--archive", self.archive, "--place", "keel", "--alloy", "zinc", "--mass-kg",
                     5000, says=["--mass-kg", "not in range"])
        for place in ("rud\x1b[31mder", "rud\u202eder", "rud\nder"):
            self.refused(2, "anodes", "fitted", "--archive", self.archive, "--place", place, "--alloy", "zinc", "--mass-kg",
                         2, says=["--place", "not one line of text"])


if __name__ == "__main__":
    unittest.main(verbosity=2)

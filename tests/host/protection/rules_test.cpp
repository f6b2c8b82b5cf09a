#include "protection/rules.h"

#include "boats.h"
#include "protection/judge.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

const Rule* rule_of(const Rules& rules, std::string_view id) {
    const auto found = std::find_if(rules.rules.begin(), rules.rules.end(),
                                    [&](const Rule& r) { return r.criterion.id == id; });
    return found == rules.rules.end() ? nullptr : &*found;
}

} // namespace

TEST_CASE("By default the hull's row of the small-craft table decides") {
    const Rules rules = rules_of(Hull::aluminium);
    REQUIRE(rules.rules.size() == 1);
    CHECK(rules.rules[0].criterion.id == "abyc_al");
    CHECK(rules.rules[0].decides);
    CHECK(rules.rules[0].over_destroys);
    CHECK_FALSE(rules.conflict);
    CHECK_FALSE(rules.no_verdict);
}

TEST_CASE("A bonded metal is shown, and its negative limit counts where being beyond it destroys") {
    const Rules rules = rules_of(Hull::steel, {"high-strength-steel", "copper-alloy"});
    REQUIRE(rules.rules.size() == 3);
    CHECK(rule_of(rules, "en_hss")->over_counts);
    CHECK_FALSE(rule_of(rules, "en_hss")->decides);
    CHECK_FALSE(rule_of(rules, "en_cu")->over_counts);
}

TEST_CASE("The same metal twice is one row") {
    CHECK(rules_of(Hull::grp, {"copper-alloy", "copper-alloy"}).rules.size() == 2);
}

TEST_CASE("In the rule set by metal the metal of the hull decides") {
    CHECK(rules_of(Hull::steel, {}, "marine-metals").rules[0].criterion.id == "en_cs_aer");
    CHECK(rules_of(Hull::aluminium, {}, "marine-metals").rules[0].criterion.id == "en_al");
    CHECK(rules_of(Hull::grp_aluminium_drive, {}, "marine-metals").rules[0].criterion.id ==
          "en_al");
}

TEST_CASE(
    "In the rule set by metal a wooden hull is judged by its metals and its own negative limit") {
    const Rules rules = rules_of(Hull::wood, {"copper-alloy"}, "marine-metals");
    REQUIRE(rules.rules.size() == 2);
    CHECK(rule_of(rules, "en_cu")->decides);
    CHECK_FALSE(rule_of(rules, "abyc_wood")->decides);
    CHECK(rule_of(rules, "abyc_wood")->over_counts);
}

TEST_CASE("A rule set without a row for the boat is refused, with the way out") {
    const auto rules =
        prepare_rules(built_in_criteria(), {Hull::grp, {}, "marine-metals"}, Water{});
    REQUIRE_FALSE(rules);
    CHECK(rules.error().code == ErrorCode::wrong_usage);
    CHECK(rules.error().what == "rule set \"marine-metals\" has no criterion for hull \"grp\"");
    CHECK(rules.error().remedy ==
          "Use rule set small-craft, or list the bonded metals in the vessel file");
}

TEST_CASE("Unknown rule sets and metals are refused with the known ones") {
    const auto set = prepare_rules(built_in_criteria(), {Hull::steel, {}, "none"}, Water{}).error();
    CHECK(set.what == "there is no rule set \"none\"");
    CHECK(set.remedy ==
          "Use one of: small-craft, marine-metals, ships, ships-iso, offshore, offshore-nace, "
          "navy, fresh-water");
    CHECK_FALSE(prepare_rules(built_in_criteria(), {Hull::steel, {"brass"}}, Water{}));
}

TEST_CASE("A wooden hull with an aluminium fitting is a conflict: the bands do not meet") {
    // Wood ends at -600; aluminium begins at -800.
    const Rules rules = rules_of(Hull::wood, {"aluminium-alloy"});
    REQUIRE(rules.conflict);
    CHECK(*rules.conflict ==
          "aluminium-alloy is protected from -800 mV, but beyond -600 mV wood is "
          "over-protected: no potential suits both, and more anode is not the answer");
}

TEST_CASE("Bands that only touch do not meet either") {
    // Aluminium begins at -950, where high-strength steel ends.
    CHECK(rules_of(Hull::aluminium, {"high-strength-steel"}).conflict);
}

TEST_CASE("Bands that overlap are no conflict") {
    CHECK_FALSE(rules_of(Hull::steel, {"high-strength-steel"}).conflict);
    CHECK_FALSE(rules_of(Hull::wood, {"copper-alloy"}).conflict);
}

TEST_CASE("Below 5 PSU there is no verdict, with the reason and the shift rule") {
    const Rules rules = rules_of(Hull::aluminium, {}, "", water_between(0.5, 0.5));
    REQUIRE(rules.no_verdict);
    CHECK(*rules.no_verdict ==
          "no published criterion for this water: its salinity is 0.5 PSU, and the criterion for "
          "aluminium (ABYC E-2, range table) applies from 5 to 42 PSU; compare with the anodes "
          "disconnected: connected, they have to make the potential more negative by "
          "200 mV (ABYC E-2 by way of E. Sherman, Advanced Marine Electrics and Electronics "
          "Troubleshooting, p. 110) or by 100 mV (49 CFR 192 App. D, law for pipelines)");
}

TEST_CASE("Water that may be below 5 PSU gets no verdict either") {
    const Rules rules = rules_of(Hull::steel, {}, "", water_between(0.5, 30));
    REQUIRE(rules.no_verdict);
    CHECK(rules.no_verdict->starts_with(
        "not all of what this water may be has a published criterion: its salinity may be anything "
        "between 0.5 and 30 PSU, and the criterion for steel (ABYC E-2, range table) applies from "
        "5 "
        "to 42 PSU; measure the salinity, or compare with the anodes disconnected"));
    CHECK(rules_of(Hull::steel, {}, "", water_between(4.9, 12)).no_verdict);
    CHECK_FALSE(rules_of(Hull::steel, {}, "", water_between(5, 12)).no_verdict);
}

TEST_CASE("Water given by its chloride is placed by the salinity it stands for") {
    Water river;
    river.chloride_mg_l = Range{8, 12};
    CHECK(rules_of(Hull::steel, {}, "", river)
              .no_verdict->starts_with("no published criterion for this water: its chloride may be "
                                       "anything between 8 and 12 mg/L, and the criterion"));
    river.chloride_mg_l = Range{10000, 12000};
    CHECK_FALSE(rules_of(Hull::steel, {}, "", river).no_verdict);
}

TEST_CASE("Water out of range is an error") {
    CHECK_FALSE(prepare_rules(built_in_criteria(), {Hull::steel, {}}, water_between(0, 1)));
}

TEST_CASE("Of two rows for the same hull the one that holds in the water counts") {
    const std::string rows =
        made_up_row("salt", "steel", "absolute", "protected_from_mv = -800", "agcl/seawater", 5,
                    42) +
        made_up_row("river", "steel", "absolute", "protected_from_mv = -850", "cse", 0, 5);
    CHECK(made_up_rules(rows, Hull::steel, {}, water_between(30, 35)).rules[0].criterion.id ==
          "salt");
    CHECK(made_up_rules(rows, Hull::steel, {}, water_between(0.2, 0.4)).rules[0].criterion.id ==
          "river");
    CHECK_FALSE(made_up_rules(rows, Hull::steel, {}, water_between(0.2, 0.4)).no_verdict);
    CHECK(made_up_rules(rows, Hull::steel, {}, water_between(4, 6)).no_verdict);
}

TEST_CASE("A hull in mud without oxygen needs what the row for mud asks, too") {
    const Rules rules = *prepare_rules(
        built_in_criteria(),
        {Hull::steel, {}, "", Scale::agcl_seawater, Oxygen::anaerobic, std::nullopt}, Water{});
    REQUIRE(rules.rules.size() == 2);
    CHECK(rules.rules[0].criterion.id == "abyc_steel");
    CHECK(rules.rules[1].criterion.id == "en_cs_anaer");
    CHECK(verdict_of(rules, -870, 10) == Verdict::under_protected);
    CHECK(verdict_of(rules, -920, 10) == Verdict::protected_);
}

TEST_CASE("A row on the scale of the reading is preferred, and needs no conversion") {
    const auto rules_on = [](Scale scale) {
        return *prepare_rules(
            built_in_criteria(),
            {Hull::steel, {}, "offshore-nace", scale, Oxygen::aerobic, std::nullopt}, Water{});
    };
    CHECK(rules_on(Scale::cse).rules.front().criterion.id == "sp0176_cse");
    CHECK(rules_on(Scale::agcl_open).rules.front().criterion.id == "sp0176_agcl");
    CHECK(rules_on(Scale::sce).rules.front().criterion.id == "sp0176_agcl");
}

TEST_CASE("What an impressed-current system is set to is judged by when it is asked for") {
    const Rules rules = rules_of(Hull::steel, {}, "navy");
    CHECK(rules.rules.front().criterion.kind == CriterionKind::target);
    CHECK(verdict_of(rules, -850, 10) == Verdict::protected_);
    CHECK(verdict_of(rules, -780, 10) == Verdict::under_protected);
    CHECK(rules_of(Hull::steel).rules.front().criterion.kind == CriterionKind::absolute);
}

TEST_CASE("In fresh water the shift from the baseline decides where one is known") {
    const Judged steel{Hull::steel,      {}, "", Scale::agcl_seawater, Oxygen::aerobic,
                       Baseline{-500, 9}};
    const Rules rules = *prepare_rules(built_in_criteria(), steel, water_between(0.1, 0.3));
    CHECK_FALSE(rules.no_verdict);
    REQUIRE(rules.by_shift);
    CHECK(rules.by_shift->find("no published criterion") != std::string::npos);
    REQUIRE(rules.rules.size() == 2);
    CHECK(rules.rules[0].criterion.id == "shift_200");
    // 200 mV more negative than -500 is -700; the difference is known within 9 mV, whatever the
    // uncertainty of the reading itself.
    CHECK(verdict_of(rules, -710, 150) == Verdict::protected_);
    CHECK(verdict_of(rules, -705, 150) == Verdict::undecided);
    CHECK(verdict_of(rules, -690, 150) == Verdict::under_protected);
}

TEST_CASE("A shift passes nothing that over-protection destroys: nobody published its other end") {
    const Judged wood{Hull::wood, {}, "", Scale::agcl_seawater, Oxygen::aerobic, Baseline{-300, 9}};
    const Rules rules = *prepare_rules(built_in_criteria(), wood, water_between(0.1, 0.3));
    CHECK(verdict_of(rules, -550, 20) == Verdict::undecided);
    CHECK(verdict_of(rules, -400, 20) == Verdict::under_protected);
}

TEST_CASE("In sea water the shift is shown beside the rows, which decide") {
    const Judged steel{Hull::steel,      {}, "", Scale::agcl_seawater, Oxygen::aerobic,
                       Baseline{-650, 9}};
    const Rules rules = *prepare_rules(built_in_criteria(), steel, Water{});
    CHECK_FALSE(rules.by_shift);
    REQUIRE(rules.rules.size() == 3);
    CHECK(rules.rules[1].criterion.kind == CriterionKind::shift);
    CHECK_FALSE(rules.rules[1].decides);
    CHECK(verdict_of(rules, -870, 10) == Verdict::protected_);
    CHECK(verdict_of(rules, -830, 10) == Verdict::under_protected);
}

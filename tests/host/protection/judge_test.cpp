#include "protection/judge.h"

#include "boats.h"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;

namespace {

Verdict verdict(const Rules& rules, ByConstants potential_mv, double expanded_uncertainty_mv) {
    return judge(rules, potential_mv, expanded_uncertainty_mv).verdict;
}

} // namespace

TEST_CASE("An aluminium hull, -950 to -1100 mV, read within 10 mV") {
    const Rules rules = rules_of(Hull::aluminium);
    CHECK(verdict(rules, -870, 10) == Verdict::under_protected);
    CHECK(verdict(rules, -940, 10) == Verdict::under_protected);
    CHECK(verdict(rules, -945, 10) == Verdict::undecided);
    CHECK(verdict(rules, -955, 10) == Verdict::undecided);
    CHECK(verdict(rules, -960, 10) == Verdict::protected_);
    CHECK(verdict(rules, -1000, 10) == Verdict::protected_);
    CHECK(verdict(rules, -1095, 10) == Verdict::undecided);
    CHECK(verdict(rules, -1105, 10) == Verdict::undecided);
    CHECK(verdict(rules, -1110, 10) == Verdict::over_protected);
}

TEST_CASE("A wooden hull, -550 to -600 mV, read within 8 mV") {
    const Rules rules = rules_of(Hull::wood);
    CHECK(verdict(rules, -500, 8) == Verdict::under_protected);
    CHECK(verdict(rules, -575, 8) == Verdict::protected_);
    CHECK(verdict(rules, -590, 8) == Verdict::protected_);
    CHECK(verdict(rules, -605, 8) == Verdict::undecided);
    CHECK(verdict(rules, -640, 8) == Verdict::over_protected);
}

TEST_CASE("A steel hull, -850 to -1100 mV, read within 12 mV") {
    const Rules rules = rules_of(Hull::steel);
    CHECK(verdict(rules, -800, 12) == Verdict::under_protected);
    CHECK(verdict(rules, -900, 12) == Verdict::protected_);
    CHECK(verdict(rules, -1150, 12) == Verdict::over_protected);
}

TEST_CASE("A plastic hull with bronze gear, -550 to -1100 mV, read within 12 mV") {
    const Rules rules = rules_of(Hull::grp);
    CHECK(verdict(rules, -400, 12) == Verdict::under_protected);
    CHECK(verdict(rules, -900, 12) == Verdict::protected_);
    CHECK(verdict(rules, -1050, 12) == Verdict::protected_);
}

TEST_CASE("Readings within 11.5 mV, held against the printed rows") {
    // Undecided exactly where a limit lies less than 11.5 mV away.
    struct Reading {
        Hull hull;
        double potential_mv;
        Verdict expected;
    };
    const Reading readings[] = {
        {Hull::wood, -590, Verdict::undecided},        // 10 mV from -600
        {Hull::wood, -605, Verdict::undecided},        // 5 mV beyond it
        {Hull::wood, -640, Verdict::over_protected},   //
        {Hull::aluminium, -940, Verdict::undecided},   // 10 mV from -950
        {Hull::aluminium, -955, Verdict::undecided},   // 5 mV
        {Hull::aluminium, -1000, Verdict::protected_}, //
        {Hull::aluminium, -1095, Verdict::undecided},  // 5 mV from -1100
        {Hull::aluminium, -1110, Verdict::undecided},  // 10 mV
        {Hull::steel, -790, Verdict::under_protected}, //
        {Hull::steel, -845, Verdict::undecided},       // 5 mV from -850
        {Hull::steel, -870, Verdict::protected_},      // 20 mV
        {Hull::steel, -1110, Verdict::undecided},      // 10 mV from -1100
        {Hull::grp, -300, Verdict::under_protected},   //
        {Hull::grp, -540, Verdict::undecided},         // 10 mV from -550
        {Hull::grp, -560, Verdict::undecided},         // 10 mV
        {Hull::grp, -1105, Verdict::undecided},        // 5 mV from -1100
    };
    for (const Reading& reading : readings) {
        INFO(name_of(reading.hull), " at ", reading.potential_mv);
        CHECK(verdict(rules_of(reading.hull), reading.potential_mv, 11.5) == reading.expected);
    }
}

TEST_CASE("The rule sets disagree on aluminium by 150 mV") {
    CHECK(verdict(rules_of(Hull::aluminium), -870, 12) == Verdict::under_protected);
    CHECK(verdict(rules_of(Hull::aluminium, {}, "marine-metals"), -870, 12) == Verdict::protected_);
}

TEST_CASE("High-strength steel bonded to a steel hull is over-protected beyond -950 mV") {
    const Rules rules = rules_of(Hull::steel, {"high-strength-steel"});
    CHECK(verdict(rules, -900, 12) == Verdict::protected_);
    CHECK(verdict(rules, -945, 12) == Verdict::undecided);
    CHECK(verdict(rules, -1000, 12) == Verdict::over_protected);
    // Its other end does not count: the hull's row decides there.
    CHECK(verdict(rules_of(Hull::grp, {"high-strength-steel"}), -700, 12) == Verdict::protected_);
}

TEST_CASE("Over-protection that destroys is worse than too little protection") {
    // Aluminium hull under -950, wooden-hull rules aside: high-strength steel beyond -950 needs
    // -800.
    const Rules rules = rules_of(Hull::wood, {"aluminium-alloy"}, "marine-metals");
    // -700: aluminium is under-protected (from -800), wood is beyond -600.
    const Judgement judgement = judge(rules, -700, 12);
    CHECK(judgement.verdict == Verdict::over_protected);
    CHECK(judgement.conflict);
}

TEST_CASE("Too little protection is worse than over-protection that only costs anodes") {
    // One metal beyond its limit, one short of its band.
    const Rules rules =
        made_up_rules(made_up_row("a", "copper-alloy", "absolute",
                                  "protected_from_mv = -450\nover_at_mv = -600") +
                          made_up_row("b", "nickel-copper", "absolute",
                                      "protected_from_mv = -800\nover_at_mv = -900"),
                      Hull::grp, {"copper-alloy", "nickel-copper"});
    CHECK(verdict(rules, -700, 12) == Verdict::under_protected);
    CHECK(verdict(rules, -850, 12) == Verdict::over_protected);
}

TEST_CASE("Duplex steel has no published negative limit, so that its boat is never passed") {
    const Rules rules = rules_of(Hull::grp, {"stainless-duplex"});
    CHECK(verdict(rules, -800, 12) == Verdict::undecided);
    CHECK(verdict(rules, -400, 12) == Verdict::under_protected);
    const Judgement judgement = judge(rules, -800, 12);
    REQUIRE(judgement.reasons.size() == 2);
    CHECK(judgement.reasons[1] ==
          "for stainless-duplex no limit on the negative side is published; it is decided case by "
          "case (EN 12473 / ISO 12473; from memory)");
}

TEST_CASE("Each row is judged for itself, the hull's first") {
    const Judgement judgement = judge(rules_of(Hull::grp, {"aluminium-alloy"}), -700, 12);
    CHECK(judgement.verdict == Verdict::protected_);
    REQUIRE(judgement.rows.size() == 2);
    CHECK(judgement.rows[0].criterion.id == "abyc_frp");
    CHECK(judgement.rows[0].verdict == Verdict::protected_);
    CHECK(judgement.rows[1].verdict == Verdict::under_protected);
    CHECK(judgement.rows[1].probability.under > 0.999);
    CHECK(judgement.reasons.back().starts_with("aluminium-alloy by itself is under-protected, "
                                               "which does not decide for the hull: -700.0 mV "
                                               "is less negative than -800 mV"));
}

TEST_CASE("The reason names limit, source and how it came here") {
    const Judgement judgement = judge(rules_of(Hull::aluminium), -870, 11.5);
    CHECK(judgement.potential_mv == -870);
    CHECK(judgement.expanded_uncertainty_mv == 11.5);
    REQUIRE(judgement.reasons.size() == 1);
    CHECK(judgement.reasons[0] ==
          "-870.0 mV is less negative than -950 mV, from which aluminium counts "
          "as protected (ABYC E-2, range table; from memory)");
}

TEST_CASE("Each end of a band is held against the stricter of two conversions") {
    // -1168 mV of copper sulphate at 25 degC: -1098 mV by the rounded, -1101 by the computed
    // offset.
    Water water = water_between(35, 35);
    water.temperature_c = 25;
    const Rules aluminium = rules_of(Hull::aluminium, {}, "", water);
    const auto of_cse = [&](double potential_mv) {
        return *standard_potential_mv(potential_mv, Scale::cse, water);
    };
    CHECK(verdict(aluminium, of_cse(-1168), 0) == Verdict::over_protected);
    CHECK(verdict(aluminium, of_cse(-1165), 0) == Verdict::protected_);
    // At the other end: -948 by the rounded, -951 by the computed offset.
    CHECK(verdict(aluminium, of_cse(-1018), 0) == Verdict::under_protected);
    CHECK(verdict(aluminium, of_cse(-1021), 0) == Verdict::protected_);

    const Judgement judgement = judge(aluminium, of_cse(-1168), 0);
    CHECK(judgement.potential_mv == doctest::Approx(-1098));
    CHECK(judgement.reasons[0].starts_with("-1101.1 mV is more negative than -1100 mV"));
    CHECK(judgement.rows[0].probability.over == 1);
    CHECK(
        judge(aluminium, of_cse(-1168), 12)
            .reasons[0]
            .starts_with(
                "the -1100 mV of aluminium lies within 12.0 mV, the uncertainty of the reading of "
                "-1101.1 mV"));
}

TEST_CASE("A row on another scale is judged on its own scale, both its ends") {
    const Water water;
    const Rules rules =
        made_up_rules(made_up_row("a", "steel", "absolute",
                                  "protected_from_mv = -850\nover_at_mv = -1100", "cse"),
                      Hull::steel);
    const auto of_cse = [&](double potential_mv) {
        return *standard_potential_mv(potential_mv, Scale::cse, water);
    };
    // A reading of the same kind of cell comes back as it was read.
    const Judgement judgement = judge(rules, of_cse(-861), 10);
    CHECK(judgement.rows[0].potential_mv == doctest::Approx(-861));
    CHECK(judgement.verdict == Verdict::protected_);
    CHECK(verdict(rules, of_cse(-841), 10) == Verdict::undecided);
    CHECK(verdict(rules, of_cse(-849), 0) == Verdict::under_protected);
    CHECK(verdict(rules, of_cse(-851), 0) == Verdict::protected_);
    CHECK(verdict(rules, of_cse(-1099), 0) == Verdict::protected_);
    CHECK(verdict(rules, of_cse(-1101), 0) == Verdict::over_protected);
    CHECK(judge(rules, of_cse(-1150), 10)
              .reasons[0]
              .starts_with("-1150.0 mV on cse is more negative than -1100 mV"));
}

TEST_CASE(
    "A row on another scale narrows its band on agcl/seawater by what the conversions differ") {
    Water water = water_between(35, 35);
    water.temperature_c = 25;
    const Rules rules =
        made_up_rules(made_up_row("a", "steel", "absolute",
                                  "protected_from_mv = -850\nover_at_mv = -1100", "cse"),
                      Hull::steel, {}, water);
    CHECK(*rules.rules[0].band.protected_from_mv == doctest::Approx(-783.13).epsilon(0.0001));
    CHECK(*rules.rules[0].band.over_at_mv == doctest::Approx(-1030));
}

TEST_CASE("No reason shows an identifier of the table") {
    const std::vector<Rules> boats{
        rules_of(Hull::steel, {"high-strength-steel", "stainless-duplex"}),
        rules_of(Hull::wood, {"aluminium-alloy"}), rules_of(Hull::aluminium, {}, "marine-metals"),
        rules_of(Hull::steel, {}, "", water_between(0.1, 0.5))};
    for (const Rules& rules : boats)
        for (const double potential_mv : {-500.0, -850.0, -900.0, -1000.0, -1200.0}) {
            const Judgement judgement = judge(rules, potential_mv, 12);
            std::vector<std::string> texts = judgement.reasons;
            if (judgement.conflict) texts.push_back(*judgement.conflict);
            for (const std::string& text : texts) {
                INFO(text);
                CHECK(text.find('_') == std::string::npos);
            }
        }
}

TEST_CASE("In water without a criterion there is no verdict, but a reason") {
    const Judgement judgement =
        judge(rules_of(Hull::aluminium, {}, "", water_between(0.1, 0.5)), -1000, 12);
    CHECK(judgement.verdict == Verdict::no_verdict);
    CHECK(judgement.rows.empty());
    REQUIRE(judgement.reasons.size() == 1);
    CHECK(judgement.reasons[0].starts_with("no published criterion for this water"));
}

TEST_CASE("What no metal shows gets no verdict, but a hint at what may be wrong") {
    const Rules rules = rules_of(Hull::aluminium);
    for (const double potential_mv : {1200.0, 351.0, -1751.0, -5000.0}) {
        const Judgement judgement = judge(rules, potential_mv, 12);
        CHECK(judgement.verdict == Verdict::no_verdict);
        CHECK(judgement.rows.empty());
        REQUIRE(judgement.reasons.size() == 1);
        CHECK(judgement.reasons[0].find("the leads may be swapped, the cell dry") !=
              std::string::npos);
    }
    CHECK(verdict(rules, 350, 12) == Verdict::under_protected);
    CHECK(verdict(rules, -1750, 12) == Verdict::over_protected);
    CHECK(verdict(rules, {-1749, -1751}, 12) == Verdict::no_verdict);
}

TEST_CASE("What is not a number gets no verdict") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const Rules rules = rules_of(Hull::steel);
    CHECK(verdict(rules, nan, 12) == Verdict::no_verdict);
    CHECK(verdict(rules, -900, nan) == Verdict::no_verdict);
    CHECK(verdict(rules, -900, -1) == Verdict::no_verdict);
    CHECK_FALSE(judge(rules, nan, 12).reasons.empty());
}

TEST_CASE("The quick verdict is that of the full judgement, everywhere") {
    const std::vector<Rules> boats{
        rules_of(Hull::steel),
        rules_of(Hull::aluminium, {"high-strength-steel", "copper-alloy"}),
        rules_of(Hull::wood, {"copper-alloy", "stainless-duplex"}),
        rules_of(Hull::wood, {"aluminium-alloy"}, "marine-metals"),
        rules_of(Hull::grp, {}, "", water_between(1, 2)),
    };
    for (const Rules& rules : boats)
        for (const double uncertainty_mv : {0.0, 11.5, 60.0})
            for (double potential_mv = -1700; potential_mv <= 400; potential_mv += 2.5)
                for (const double apart_mv : {0.0, 3.0, -9.0}) {
                    const ByConstants standard_mv{potential_mv, potential_mv + apart_mv};
                    CHECK(judge(rules, standard_mv, uncertainty_mv).verdict ==
                          verdict_of(rules, standard_mv, uncertainty_mv));
                }
}

TEST_CASE("Over-protection is as bad as the limit that is exceeded") {
    // A steel hull beyond -1100 mV costs paint; high-strength steel beyond -950 mV may crack.
    const Rules rules = rules_of(Hull::steel, {"high-strength-steel"});
    CHECK(severity_of(rules, -1000, 12) == Severity::over_protected_destroying);
    CHECK(severity_of(rules_of(Hull::steel, {"stainless-duplex"}), -1150, 12) ==
          Severity::over_protected_elsewhere);
    CHECK(severity_of(rules_of(Hull::steel), -700, 12) == Severity::under_protected);
    CHECK(severity_of(rules_of(Hull::steel), NAN, 12) == Severity::no_verdict);
}

TEST_CASE("Once a hull is being destroyed, more negative never makes it better") {
    const Rules rules = rules_of(Hull::wood, {"copper-alloy"});
    for (double potential_mv = -609; potential_mv >= -1750; potential_mv -= 1)
        CHECK(verdict_of(rules, potential_mv, 8) == Verdict::over_protected);
}

TEST_CASE("A limit of the rule set counts on the negative side alone") {
    const Rules rules =
        made_up_rules(made_up_row("a", "aluminium", "absolute", "protected_from_mv = -950") +
                          made_up_row("b", "aluminium", "limit", "over_at_mv = -1050"),
                      Hull::aluminium);
    CHECK(verdict(rules, -1000, 12) == Verdict::protected_);
    CHECK(verdict(rules, -1080, 12) == Verdict::over_protected);
    CHECK(verdict(rules, -900, 12) == Verdict::under_protected);
}

#include "chart/bands.h"

#include "protection/judge.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Rule rule(const char* subject, Band band, bool decides) {
    Criterion criterion;
    criterion.subject = subject;
    criterion.source = std::string("Table of ") + subject;
    criterion.status = "transcribed";
    return {criterion, band, 0, decides, true, !decides, !decides && !band.over_at_mv};
}

std::string lines(const std::vector<ChartBand>& bands) {
    std::string text;
    for (const ChartBand& band : bands)
        text += band.label + ": " + limits_text(band) + "\n";
    return text;
}

} // namespace

TEST_CASE("the hull's row gives three bands with their limits and source") {
    Rules rules;
    rules.rules = {rule("aluminium", {-950, -1100}, true)};
    const auto bands = bands_of(rules);
    CHECK(lines(bands) == "under-protected: less negative than −950 mV\n"
                          "protected: −950 to −1100 mV\n"
                          "over-protected: more negative than −1100 mV\n");
    CHECK(bands[1].source == "Table of aluminium (transcribed)");
    CHECK(bands[1].verdict == Verdict::protected_);
}

TEST_CASE("a bonded metal that minds over-protection sooner moves the limit and is named") {
    Rules rules;
    rules.rules = {rule("steel", {-850, -1100}, true),
                   rule("high-strength-steel", {-800, -950}, false)};
    CHECK(lines(bands_of(rules)) == "under-protected (steel): less negative than −850 mV\n"
                                    "protected (steel): −850 to −950 mV\n"
                                    "over-protected (high-strength-steel): more negative than −950 "
                                    "mV\n");
    CHECK(bands_of(rules)[2].source == "Table of high-strength-steel (transcribed)");
}

TEST_CASE("what a metal without a published negative limit leaves open is not drawn as protected") {
    Rules rules;
    rules.rules = {rule("steel", {-850, -1100}, true),
                   rule("stainless-duplex", {-600, std::nullopt}, false)};
    CHECK(lines(bands_of(rules)) == "under-protected (steel): less negative than −850 mV\n"
                                    "undecided (stainless-duplex): −850 to −1100 mV\n"
                                    "over-protected (steel): more negative than −1100 mV\n");
    CHECK(bands_of(rules)[1].source ==
          "no negative limit published: Table of stainless-duplex (transcribed)");
    CHECK(bands_of(rules)[1].verdict == Verdict::undecided);

    rules.rules = {rule("copper-alloy", {-450, std::nullopt}, true),
                   rule("stainless-duplex", {-600, std::nullopt}, false)};
    CHECK(lines(bands_of(rules)) == "under-protected (copper-alloy): less negative than −450 mV\n"
                                    "protected (copper-alloy): −450 to −600 mV\n"
                                    "undecided (stainless-duplex): from −600 mV, no other limit\n");
}

TEST_CASE("what the figure's bands say is what the verdict says") {
    for (const auto& metals : std::vector<std::vector<std::string>>{
             {}, {"stainless-duplex"}, {"high-strength-steel"}, {"copper-alloy"}}) {
        const Rules rules = *prepare_rules(built_in_criteria(), {Hull::steel, metals}, Water{});
        const auto bands = bands_of(rules);
        for (double potential_mv = -1400; potential_mv <= -300; potential_mv += 7) {
            CAPTURE(potential_mv);
            for (const ChartBand& band : bands)
                if (potential_mv < band.from_mv && potential_mv > band.to_mv)
                    CHECK(verdict_of(rules, potential_mv, 0) == band.verdict);
        }
    }
}

TEST_CASE("limits that do not meet leave no protected band, and the others overlap") {
    Rules rules;
    rules.rules = {rule("aluminium", {-950, -1100}, true),
                   rule("high-strength-steel", {-800, -900}, false)};
    const auto bands = bands_of(rules);
    REQUIRE(bands.size() == 2);
    CHECK(bands[0].to_mv == -950);
    CHECK(bands[1].from_mv == -900);
}

TEST_CASE("a row without a negative limit protects all the way down") {
    Rules rules;
    rules.rules = {rule("copper-alloy", {-450, std::nullopt}, true)};
    CHECK(lines(bands_of(rules)) == "under-protected: less negative than −450 mV\n"
                                    "protected: from −450 mV, no other limit\n");
}

TEST_CASE("rules that cannot judge give one band that says why") {
    Rules rules;
    rules.rules = {rule("steel", {-850, -1100}, true)};
    rules.no_verdict = "no published criterion for fresh water";
    const auto bands = bands_of(rules);
    REQUIRE(bands.size() == 1);
    CHECK(bands[0].verdict == Verdict::no_verdict);
    CHECK(bands[0].source == "no published criterion for fresh water");
    CHECK(limits_text(bands[0]).empty());
}

TEST_CASE("around each limit lies a zone in which nothing can be decided") {
    Rules rules;
    rules.rules = {rule("aluminium", {-950, -1100}, true)};
    const auto shown = with_undecided(bands_of(rules), 22);
    REQUIRE(shown.size() == 5);
    CHECK(shown[3].verdict == Verdict::undecided);
    CHECK(shown[3].from_mv == -928);
    CHECK(shown[3].to_mv == -972);
    CHECK(shown[3].source == "within 22 mV (k = 2) of a limit");
    CHECK(shown[4].from_mv == -1078);
    CHECK(shown[4].to_mv == -1122);
}

TEST_CASE("zones that meet are one") {
    Rules rules;
    rules.rules = {rule("wood", {-550, -600}, true)};
    const auto shown = with_undecided(bands_of(rules), 30);
    REQUIRE(shown.size() == 4);
    CHECK(shown[3].from_mv == -520);
    CHECK(shown[3].to_mv == -630);
}

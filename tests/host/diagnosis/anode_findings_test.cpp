#include "diagnosis/anode_findings.h"

#include <doctest/doctest.h>
#include <string>

using namespace quaycell;

namespace {

std::string ids(const WearAndReading& both) {
    std::string all;
    for (const AnodeFinding& each : anode_findings(both)) {
        if (!all.empty()) all += ' ';
        all += each.id;
    }
    return all;
}

Instant day(int number) {
    return *parse_instant("2026-01-01T00:00:00Z") + std::chrono::days{number};
}

/// Of a new mass of 2 kg, seen once.
WearPace pace(int after_days, double left_kg) {
    const FittedAnode anode{"rudder", Alloy::zinc, 2, day(0), {{day(after_days), left_kg, true}}};
    return pace_of(*wear_of(anode, 0.5), 0.5, day(0), day(after_days));
}

} // namespace

TEST_CASE("an anode that is half gone within a season's quarter wastes fast") {
    CHECK(pace(60, 1.2) == WearPace::fast);   // half gone after 75 days
    CHECK(pace(200, 1.2) == WearPace::usual); // after 250
    CHECK(pace(100, 1.99) == WearPace::not_wasting);
    CHECK(pace(20, 1.99) == WearPace::too_early);
}

TEST_CASE("an anode whose line does not fall does not waste fast") {
    const FittedAnode anode{
        "rudder", Alloy::zinc, 1, day(0), {{day(10), 0.96, true}, {day(400), 0.985, true}}};
    CHECK(pace_of(*wear_of(anode, 0.5), 0.5, day(0), day(400)) == WearPace::not_wasting);
}

TEST_CASE("wasting fast, the dock's earth is the first suspect of a boat that lies plugged in") {
    const AnodeFinding found = anode_findings({WearPace::fast, Verdict::protected_, false}).front();
    CHECK(found.what.find("where the boat lies plugged in") != std::string_view::npos);
    CHECK(ids({WearPace::fast, Verdict::protected_, false}) == "shore-earth");
    CHECK(ids({WearPace::fast, Verdict::under_protected, false}) == "shore-earth too-little-anode");
}

TEST_CASE("not wasting and too positive is no good health") {
    CHECK(ids({WearPace::not_wasting, Verdict::under_protected, false}) == "not-working");
    CHECK(ids({WearPace::not_wasting, Verdict::protected_, false}) == "protected-by-others");
}

TEST_CASE("over-protected never asks for more anode") {
    CHECK(ids({WearPace::fast, Verdict::over_protected, true}) == "magnesium");
    CHECK(ids({WearPace::fast, Verdict::over_protected, false}) == "driven");
    CHECK(ids({WearPace::usual, Verdict::over_protected, false}) == "too-many");
    CHECK(ids({WearPace::not_wasting, Verdict::over_protected, false}) == "driven-without-anode");
}

TEST_CASE("nothing is made of a verdict or of a wear that is not known") {
    CHECK(ids({WearPace::too_early, Verdict::under_protected, false}).empty());
    CHECK(ids({WearPace::usual, Verdict::no_verdict, false}).empty());
    CHECK(ids({WearPace::not_wasting, Verdict::undecided, false}).empty());
}

TEST_CASE("each finding but the good one has a check that tells, and never calls water safe") {
    for (const AnodeFinding& each : all_anode_findings()) {
        CHECK((each.test.empty() == (each.id == "as-it-should")));
        CHECK_FALSE(each.source.empty());
        CHECK_FALSE(each.status.empty());
        CHECK(each.what.find("safe") == std::string_view::npos);
    }
}

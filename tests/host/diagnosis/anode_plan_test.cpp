#include "diagnosis/anode_plan.h"

#include "diagnosis/anode_words.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

constexpr Range sea{30, 40};
constexpr Range brackish{5, 18};
constexpr Range fresh{0.05, 0.5};

Instant day(int number) {
    return *parse_instant("2026-01-01T12:00:00Z") + std::chrono::days{number};
}

/// Of 2 kg, fitted on day 0 and weighed on day 100. Invented.
FittedAnode weighed(const char* place, Alloy alloy, double left_kg) {
    return {place, alloy, 2, day(0), {{day(100), left_kg, true}}};
}

HullReading reading(Verdict verdict, int from = 100, int to = 107) {
    return {verdict, day(from), day(to)};
}

AnodePlan plan(const std::vector<FittedAnode>& anodes, Hull hull, Range salinity_psu,
               std::optional<HullReading> hull_reads = std::nullopt,
               std::optional<Instant> haul_out = std::nullopt) {
    return plan_anodes(anodes, {{hull, {}, salinity_psu}, hull_reads, day(110), haul_out, 0.5})
        .value();
}

bool cautions_of(const AnodePlan& plan, std::string_view word) {
    return std::ranges::any_of(plan.cautions, [word](const std::string& caution) {
        return caution.find(word) != std::string::npos;
    });
}

/// Mostly gone. Invented.
const std::vector<FittedAnode> spent{weighed("hull", Alloy::zinc, 0.4)};

} // namespace

TEST_CASE("two alloys on one bonding become the one of which more is fitted") {
    const auto mixed =
        plan({weighed("rudder", Alloy::zinc, 1.5), weighed("hull, port", Alloy::aluminium, 1.5),
              weighed("hull, starboard", Alloy::aluminium, 1.5)},
             Hull::steel, sea);
    for (const PlannedAnode& each : mixed.anodes)
        CHECK(each.buy == Alloy::aluminium);
    CHECK_FALSE(mixed.anodes[0].why_other.empty());
    CHECK(mixed.anodes[1].why_other.empty());
    CHECK(cautions_of(mixed, "zinc, aluminium"));
    const auto other = plan({weighed("rudder", Alloy::zinc, 1.5), weighed("hull", Alloy::zinc, 1.5),
                             weighed("shaft", Alloy::aluminium, 1.5)},
                            Hull::steel, sea);
    for (const PlannedAnode& each : other.anodes)
        CHECK(each.buy == Alloy::zinc);
}

TEST_CASE("of two alloys the one for the water wins, however little of it is fitted") {
    const auto mixed =
        plan({weighed("rudder", Alloy::zinc, 1.5), weighed("hull, port", Alloy::zinc, 1.5),
              weighed("shaft", Alloy::aluminium, 1.5)},
             Hull::steel, brackish);
    for (const PlannedAnode& each : mixed.anodes)
        CHECK(each.buy == Alloy::aluminium);
}

TEST_CASE("what is no first choice but serves is kept where it is the only one") {
    const auto river = plan({weighed("hull", Alloy::aluminium, 1.5)}, Hull::steel, fresh);
    CHECK(river.anodes[0].buy == Alloy::aluminium);
    CHECK(river.cautions.empty());
}

TEST_CASE("the engine's pencils lie in a water of their own") {
    const auto both =
        plan({weighed("hull", Alloy::aluminium, 1.5), weighed("engine", Alloy::zinc, 1)},
             Hull::steel, sea);
    CHECK(both.anodes[1].buy == Alloy::zinc);
    CHECK(both.cautions.empty());
    for (const char* place : {"heat exchanger", "Heat-Exchanger", "main engine", "port engine"}) {
        const auto named =
            plan({weighed("hull", Alloy::aluminium, 1.5), weighed(place, Alloy::zinc, 1)},
                 Hull::steel, sea, reading(Verdict::under_protected));
        CHECK(named.anodes[1].buy == Alloy::zinc);
        CHECK(named.anodes[1].findings.empty());
        CHECK(named.cautions.empty());
    }
}

TEST_CASE("what lies at no place that is known keeps its alloy, and that is said") {
    for (const char* place : {"cooling", "engine-room bulkhead", "engine bed"}) {
        const auto both =
            plan({weighed("hull", Alloy::aluminium, 1.5), weighed(place, Alloy::zinc, 2)},
                 Hull::steel, sea, reading(Verdict::under_protected));
        CHECK(both.anodes[0].buy == Alloy::aluminium);
        CHECK(both.anodes[1].buy == Alloy::zinc);
        CHECK(both.anodes[1].findings.empty());
        REQUIRE(both.cautions.size() == 1);
        CHECK(cautions_of(both, place));
        CHECK(cautions_of(both, "heat-exchanger"));
    }
    // What does harm in the hull's water and in the engine's is taken off wherever it lies.
    const auto harmful = plan({weighed("cooling", Alloy::magnesium, 1.5)}, Hull::steel, sea);
    CHECK(harmful.anodes[0].take_off);
    CHECK(harmful.anodes[0].buy != Alloy::magnesium);
}

TEST_CASE("an engine's anode is looked at where there is one") {
    const auto hull = plan({weighed("hull", Alloy::zinc, 1.5)}, Hull::steel, sea);
    CHECK(looks(hull).back().places == "engine, where there is one");
    const auto both = plan({weighed("hull", Alloy::zinc, 1.5), weighed("engine", Alloy::zinc, 1.5)},
                           Hull::steel, sea);
    CHECK(looks(both).back().places == "heat-exchanger, where there is one");
}

TEST_CASE("what lasts to the haul-out is weighed there, not bought") {
    // 2 g a day: half of 2 kg is gone after 500 days; 8 g a day: after 125.
    const auto both = plan({weighed("rudder", Alloy::zinc, 1.8), weighed("hull", Alloy::zinc, 1.2)},
                           Hull::steel, sea, std::nullopt, day(200));
    const auto list = purchases(both);
    REQUIRE(list.size() == 1);
    CHECK(list[0].place == "hull");
    CHECK(looks(both).front().places == "rudder");
    CHECK(looks(both).front().what.find("lasts to the haul-out of 2026-07-20") !=
          std::string::npos);
}

TEST_CASE("a mass is bought as it was stated, and one of another alloy as closely as that tells") {
    for (const auto& [mass_kg, words] : {std::pair(120.0, "zinc, 120 kg"),
                                         {11.5, "zinc, 11.5 kg"},
                                         {0.125, "zinc, 0.125 kg"},
                                         {1000.0, "zinc, 1000 kg"}}) {
        const auto same = plan({{"hull", Alloy::zinc, mass_kg, day(0), {}}}, Hull::steel, sea);
        CHECK(purchases(same).front().what == words);
    }
    // By hand: 100 kg of 7130 kg/m3 in place of magnesium of 1770 kg/m3 are 402.8 kg.
    const auto other =
        plan({{"hull", Alloy::magnesium, 100, day(0), {}}, {"rudder", Alloy::zinc, 1, day(0), {}}},
             Hull::steel, sea);
    CHECK(purchases(other).front().what.find("zinc, 400 kg, in its size") == 0);
}

TEST_CASE("what was due by its line before the day that is reckoned from is told as due") {
    // Half of 2 kg by 12 g a day is gone after 83 days; reckoned from day 110.
    const auto late = plan({{"hull", Alloy::zinc, 2, day(0), {{day(70), 1.16, true}}}}, Hull::steel,
                           sea, std::nullopt, day(200));
    CHECK(purchases(late).front().when.find(
              "by its line it is due: 50 % were gone between 2026-03-") == 0);
}

TEST_CASE("an alloy that does harm is taken off whenever its time would have come") {
    const auto lasting =
        plan({weighed("hull", Alloy::magnesium, 1.9)}, Hull::steel, sea, std::nullopt, day(120));
    CHECK(lasting.anodes[0].take_off);
    const auto list = purchases(lasting);
    REQUIRE(list.size() == 1);
    CHECK(list[0].what.find("in place of magnesium") != std::string::npos);
    CHECK(list[0].when.find("as soon as it can be reached") != std::string::npos);
}

TEST_CASE("wood is never given more anode, and none where it is over-protected") {
    const auto due = plan(spent, Hull::wood, sea, reading(Verdict::protected_), day(120));
    CHECK(cautions_of(due, "never more of them"));
    CHECK(purchases(due).size() == 1);
    const auto over = plan(spent, Hull::wood, sea, reading(Verdict::over_protected), day(120));
    CHECK(purchases(over).empty());
    CHECK(looks(over).front().what.find("destroys its wood") != std::string::npos);
}

TEST_CASE("aluminium that is over-protected is given no anode") {
    for (const auto& [hull, words] : {std::pair(Hull::aluminium, "the hull is over-protected"),
                                      {Hull::grp_aluminium_drive, "the drive is over-protected"}}) {
        const auto over = plan(spent, hull, sea, reading(Verdict::over_protected), day(120));
        CHECK(purchases(over).empty());
        CHECK(looks(over).front().what.find(words) == 0);
        CHECK(purchases(plan(spent, hull, sea, reading(Verdict::protected_), day(120))).size() ==
              1);
    }
}

TEST_CASE("what steel and plastic are to have waits for the cause of their over-protection") {
    for (const Hull hull : {Hull::steel, Hull::grp}) {
        const auto over =
            plan({weighed("hull", Alloy::zinc, 0.4), weighed("engine", Alloy::zinc, 0.4)}, hull,
                 sea, reading(Verdict::over_protected), day(120));
        const auto list = purchases(over);
        REQUIRE(list.size() == 2);
        CHECK(list[0].when.find("not before the cause is known") == 0);
        CHECK(list[1].when.find("it is due") == 0); // the engine's water is its own
    }
    const auto harmful = plan({weighed("hull", Alloy::magnesium, 1.5)}, Hull::steel, sea,
                              reading(Verdict::over_protected), day(120));
    CHECK(purchases(harmful).front().when.find("as soon as it can be reached") !=
          std::string::npos);
    CHECK(purchases(harmful).front().when.find("fit another not before") != std::string::npos);
}

TEST_CASE("readings from before it was fitted tell nothing of it") {
    const std::vector<FittedAnode> idle{weighed("hull", Alloy::zinc, 2)};
    CHECK(
        plan(idle, Hull::steel, sea, reading(Verdict::under_protected)).anodes[0].findings.size() ==
        1);
    CHECK(plan(idle, Hull::steel, sea, reading(Verdict::under_protected, -9, -2))
              .anodes[0]
              .findings.empty());
}

TEST_CASE(
    "a season under the old anode, read until the new one was fitted, does not condemn that") {
    // Fitted on 27 August, the last day of the trace, and next to nothing gone on 20 November.
    const std::vector<FittedAnode> renewed{
        {"hull", Alloy::zinc, 1, day(238), {{day(323), 0.995, true}}}};
    const auto before = plan(renewed, Hull::steel, sea, reading(Verdict::under_protected, 59, 238));
    CHECK(before.anodes[0].findings.empty());
    CHECK(looks(before).front().what.find("read the hull anew") == 0);
    CHECK(plan(renewed, Hull::steel, sea, reading(Verdict::under_protected, 238, 323))
              .anodes[0]
              .findings.size() == 1);
}

TEST_CASE("what is said of several anodes is said once, with all of them") {
    const auto two = plan({weighed("rudder", Alloy::zinc, 2), weighed("hull", Alloy::zinc, 2)},
                          Hull::steel, sea, reading(Verdict::under_protected));
    const auto found = findings(two);
    REQUIRE(found.size() == 1);
    CHECK(found[0].places == "rudder; hull");
    CHECK(found[0].finding.id == "not-working");
}

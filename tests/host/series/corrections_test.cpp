#include "series/corrections.h"

#include "records.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;
using namespace std::chrono_literals;

namespace {

const Instant noon = from_unix_s(1'777'896'000);

/// Five readings a minute apart, with numbers 10 to 14, a restart among them and an end.
Trace five() {
    Trace trace;
    trace.name = "five";
    for (std::uint32_t i = 0; i < 5; ++i) {
        trace.time.push_back(noon + i * 1min);
        trace.sequence.push_back(10 + i);
        trace.potential_mv.push_back(-900.0 - i);
        trace.cell_b_mv.push_back(-800.0);
    }
    trace.events.push_back({noon + 150s, EventKind::restart, missing_value, "restarted"});
    trace.ended = Ending{noon + 5min, "stopped by the user"};
    return trace;
}

Trace applied(const std::vector<Correction>& corrections) {
    auto trace = corrected(five(), corrections);
    REQUIRE(trace);
    return *trace;
}

Correction all(Change change) {
    return {change, {}, "because", "Ann"};
}

std::vector<Milliseconds> after_noon(const Trace& trace) {
    std::vector<Milliseconds> times;
    for (const Instant time : trace.time)
        times.push_back(time - noon);
    return times;
}

} // namespace

TEST_CASE("nothing corrected changes nothing") {
    const Trace trace = applied({});
    CHECK(trace.time == five().time);
    CHECK(trace.quality.empty());
}

TEST_CASE("a clock that was wrong all the time takes readings, events and end along") {
    const Trace trace = applied({all(MovedTimes{-1h})});
    CHECK(trace.time.front() == noon - 1h);
    CHECK(trace.time.back() == noon - 1h + 4min);
    CHECK(trace.events.at(0).time == noon - 1h + 150s);
    CHECK(trace.ended->time == noon - 1h + 5min);
    CHECK(trace.quality == std::vector(5, Quality::corrected));
    CHECK(trace.potential_mv == five().potential_mv);
}

TEST_CASE("from one reading on, what happened before it stays where it was") {
    const Trace trace = applied({{MovedTimes{30s}, {13, {}}, "because", "Ann"}});
    CHECK(after_noon(trace) == std::vector<Milliseconds>{0min, 1min, 2min, 210s, 270s});
    CHECK(trace.events.at(0).time == noon + 150s);
    CHECK(trace.ended->time == noon + 5min + 30s);
    CHECK(trace.quality[2] == Quality::good);
    CHECK(trace.quality[3] == Quality::corrected);
}

TEST_CASE("two stretches moved apart do not see each other's times") {
    const std::vector<Correction> both{{MovedTimes{-1h}, {{}, 12}, "because", "Ann"},
                                       {MovedTimes{1h}, {13, {}}, "because", "Ann"}};
    const Trace trace = applied(both);
    CHECK(after_noon(trace) == std::vector<Milliseconds>{-60min, -59min, -58min, 63min, 64min});
    CHECK(trace.events.at(0).time == noon + 150s - 1h);
    const Trace other_order = applied({both[1], both[0]});
    CHECK(other_order.time == trace.time);
    CHECK(other_order.events.at(0).time == trace.events.at(0).time);
}

TEST_CASE("times that would no longer rise are an error that names both readings") {
    const auto trace =
        corrected(five(), std::vector{Correction{MovedTimes{-1min}, {12, {}}, "", ""}});
    REQUIRE_FALSE(trace);
    CHECK(trace.error().code == ErrorCode::wrong_input);
    CHECK(trace.error().what.find("2026-05-04T12:01:00Z") != std::string::npos);
}

TEST_CASE("readings that are left out are gone, and the gap says why and on whose word") {
    const Trace trace = applied({{LeftOut{}, {11, 12}, "cell lifted", "Ann"}});
    CHECK(trace.sequence == std::vector<std::uint32_t>{10, 13, 14});
    CHECK(after_noon(trace) == std::vector<Milliseconds>{0min, 3min, 4min});
    CHECK(trace.potential_mv == std::vector{-900.0, -903.0, -904.0});
    CHECK(trace.cell_b_mv.size() == 3);
    REQUIRE(trace.events.size() == 2);
    CHECK(trace.events[0].time == noon + 1min);
    CHECK(trace.events[0].kind == EventKind::gap);
    CHECK(trace.events[0].why == "left out: cell lifted (Ann)");
    CHECK(applied({all(LeftOut{})}).time.empty());
}

TEST_CASE("swapped leads turn cell A; cell B then was measured against A") {
    // True: hull -900 against A and -800 against B. Swapped: A reads A - hull = 900, B reads A - B,
    // which is (hull - B) - (hull - A) = -800 + 900 = 100.
    Trace swapped = five();
    swapped.potential_mv.assign(5, 900.0);
    swapped.cell_b_mv.assign(5, 100.0);
    const auto trace = corrected(swapped, std::vector{all(SwappedLeads{})});
    REQUIRE(trace);
    CHECK(trace->potential_mv == std::vector(5, -900.0));
    CHECK(trace->cell_b_mv == std::vector(5, -800.0));
}

TEST_CASE("water that was otherwise fills the stretch it is about, the rest stays unknown") {
    const Trace trace = applied({{WaterOf{12.5}, {12, {}}, "because", "Ann"}, all(WaterAt{9})});
    CHECK(std::isnan(trace.salinity_psu[1]));
    CHECK(trace.salinity_psu[2] == 12.5);
    CHECK(trace.temperature_c == std::vector(5, 9.0));
    CHECK(applied({all(CellOn{Scale::sce})}).cell_scale == Scale::sce);
}

TEST_CASE("a stretch across the wrap of the numbers") {
    Trace trace = five();
    trace.sequence = {0xFFFFFFFE, 0xFFFFFFFF, 0, 1, 2};
    const auto result =
        corrected(trace, std::vector{Correction{LeftOut{}, {0xFFFFFFFF, 1}, "", ""}});
    REQUIRE(result);
    CHECK(result->sequence == std::vector<std::uint32_t>{0xFFFFFFFE, 2});
}

TEST_CASE("a change is kept as words and read back the same") {
    const std::vector<Change> changes{MovedTimes{-90s}, CellOn{Scale::cse}, WaterOf{12.345},
                                      WaterAt{-0.5},    SwappedLeads{},     LeftOut{}};
    for (const Change& change : changes) {
        const auto again = parse_change(kind_of(change), value_of(change));
        REQUIRE(again);
        CHECK(again->index() == change.index());
        CHECK(value_of(*again) == value_of(change));
        CHECK(check_change(*again));
    }
    CHECK(kind_of(MovedTimes{}) == "moved-times");
    CHECK(value_of(MovedTimes{-90s}) == "-90000");
    CHECK_FALSE(parse_change("polished", "1"));
    CHECK_FALSE(parse_change("salinity", "12,5"));
    CHECK_FALSE(parse_change("cell-scale", "volts"));
    CHECK_FALSE(check_change(MovedTimes{0s}));
    CHECK_FALSE(check_change(MovedTimes{std::chrono::days{50000}}));
    CHECK_FALSE(check_change(WaterOf{-1}));
    CHECK_FALSE(check_change(WaterAt{99}));
}

TEST_CASE("a decoded trace knows which record each reading is") {
    const auto trace =
        decode(std::vector{bytes_of(arm(4, 0, 1'777'896'000)), bytes_of(reading(5, 10, 0)),
                           bytes_of(check(6, 11, 0, 0, 0)), bytes_of(reading(7, 20, 0))},
               {1, circuit, {}});
    REQUIRE(trace);
    CHECK(trace->sequence == std::vector<std::uint32_t>{5, 7});
}

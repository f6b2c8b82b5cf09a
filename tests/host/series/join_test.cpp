#include "series/join.h"

#include "series/coverage.h"
#include "series/events.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

namespace {

constexpr double hour_s = 3600;

/// A reading every so many seconds, from one hour to another.
TracePart part(const char* what, double from_h, double to_h, std::int64_t interval_s,
               double level_mv) {
    static std::mt19937 engine(7);
    std::normal_distribution<double> noise(0, 0.5);
    TracePart part;
    part.what = what;
    for (auto s = static_cast<std::int64_t>(from_h * hour_s);
         s < static_cast<std::int64_t>(to_h * hour_s); s += interval_s) {
        part.trace.time.push_back(from_unix_s(s));
        part.trace.potential_mv.push_back(level_mv + noise(engine));
    }
    return part;
}

Happenings happenings(const Trace& trace) {
    return happenings_of(trace, trace.potential_mv, coverage_of(trace.time));
}

} // namespace

TEST_CASE("parts are put in order of time, and each says where it begins") {
    const auto whole =
        joined({part("deployment 2", 48, 72, 60, -950), part("deployment 1", 0, 24, 10, -980)});
    REQUIRE(whole);
    CHECK(whole->time.size() == 24 * 360 + 24 * 60);
    REQUIRE(whole->joints.size() == 1);
    CHECK(whole->joints[0].first == 24 * 360);
    CHECK(whole->joints[0].what == "deployment 2");
    CHECK(std::is_sorted(whole->time.begin(), whole->time.end()));
}

TEST_CASE("a part that was joined before keeps its joints") {
    const TracePart first = part("deployment 1", 0, 24, 10, -980);
    TracePart second = part("deployment 2", 48, 72, 60, -950);
    second.trace.joints = {{100, "summer"}};
    const auto whole = joined({first, second});
    REQUIRE(whole);
    REQUIRE(whole->joints.size() == 2);
    CHECK(whole->joints[0].first == 24 * 360);
    CHECK(whole->joints[1].first == 24 * 360 + 100);
    CHECK(whole->joints[1].what == "summer");
}

TEST_CASE("a column that one part has not got is missing there, and nowhere when no part has it") {
    TracePart with = part("1", 0, 1, 600, -980);
    with.trace.ac_mv.assign(6, 7);
    with.trace.quality.assign(6, Quality::low_battery);
    const auto whole = joined({with, part("2", 2, 3, 600, -980), part("3", 4, 5, 600, -980)});
    REQUIRE(whole);
    REQUIRE(whole->ac_mv.size() == 18);
    CHECK(whole->ac_mv[5] == 7);
    CHECK(std::isnan(whole->ac_mv[6]));
    CHECK(std::isnan(whole->ac_mv[17]));
    REQUIRE(whole->quality.size() == 18);
    CHECK(whole->quality[17] == Quality::good);
    CHECK(whole->cell_b_mv.empty());
}

TEST_CASE("parts that overlap, or hung with other cells, are refused with what to do") {
    const auto overlap =
        joined({part("deployment 1", 0, 24, 60, -980), part("deployment 2", 23, 40, 60, -980)});
    REQUIRE_FALSE(overlap);
    CHECK(overlap.error().what ==
          "deployment 1 and deployment 2 overlap: the one has readings until 1970-01-01T23:59:00Z, "
          "the other from 1970-01-01T23:00:00Z on");
    CHECK(overlap.error().remedy.find("--move-times") != std::string::npos);
    TracePart other = part("deployment 2", 25, 40, 60, -980);
    other.trace.cell_scale = Scale::agcl_kcl_3;
    const auto scales = joined({part("deployment 1", 0, 24, 60, -980), other});
    REQUIRE_FALSE(scales);
    CHECK(scales.error().remedy.find("--cell-scale") != std::string::npos);
}

TEST_CASE("parts without readings are nothing, and nothing joined is an empty trace") {
    const auto one = joined({TracePart{{}, "1"}, part("2", 0, 1, 60, -980), TracePart{{}, "3"}});
    REQUIRE(one);
    CHECK(one->time.size() == 60);
    CHECK(one->joints.empty());
    CHECK(joined({})->time.empty());
}

TEST_CASE("each part keeps its interval, and the time between is a gap") {
    const auto whole = joined({part("1", 0, 24, 10, -980), part("2", 48, 72, 60, -980)});
    const Coverage coverage = coverage_of(whole->time);
    REQUIRE(coverage.gaps.size() == 1);
    CHECK(coverage.gaps[0].to == from_unix_s(48 * 3600));
    CHECK(coverage.stands_for.front() == std::chrono::seconds{10});
    CHECK(coverage.stands_for.back() == std::chrono::seconds{60});
}

TEST_CASE("a step at a joint is the joint's, with a silence and without, and a level of its own") {
    for (const double begins_h : {24.0, 30.0}) {
        CAPTURE(begins_h);
        const auto whole = joined({part("deployment 1", 0, 24, 10, -980),
                                   part("deployment 2", begins_h, begins_h + 24, 10, -968)});
        const Happenings found = happenings(*whole);
        REQUIRE(found.events.size() == 1);
        const Event& event = found.events[0];
        CHECK(event.kind == EventKind::restart);
        CHECK(event.time == whole->time[24 * 360]);
        CHECK(event.change_mv == doctest::Approx(12).epsilon(0.1));
        CHECK(event.why.starts_with("deployment 2 begins: logger or cell may hang elsewhere than "
                                    "before; that it reads "));
        const LevelBlocks& blocks = found.undisturbed_blocks;
        const auto joint = std::ranges::lower_bound(blocks.time, whole->time[24 * 360]);
        const auto before = static_cast<std::size_t>(joint - blocks.time.begin()) - 1;
        CHECK(blocks.level.back() > blocks.level[before]);
    }
}

TEST_CASE("a joint where nothing changes is a level of its own, too") {
    const auto whole =
        joined({part("deployment 1", 0, 24, 10, -980), part("deployment 2", 25, 49, 10, -980)});
    const Happenings found = happenings(*whole);
    REQUIRE(found.events.size() == 1);
    CHECK(std::abs(found.events[0].change_mv) < 1);
    CHECK(found.undisturbed_blocks.level.back() == found.undisturbed_blocks.level.front() + 1);
}

TEST_CASE("cells that hang anew have not parted") {
    TracePart first = part("1", 0, 24, 10, -980), next = part("2", 25, 49, 10, -980);
    first.trace.cell_b_mv.assign(first.trace.time.size(), -978);
    next.trace.cell_b_mv.assign(next.trace.time.size(), -950);
    const Happenings found = happenings(*joined({first, next}));
    CHECK(std::ranges::none_of(
        found.events, [](const Event& event) { return event.kind == EventKind::cells_disagree; }));
}

TEST_CASE("whether shore power is plugged in is not known beyond a joint") {
    TracePart first = part("1", 0, 24, 10, -980), next = part("2", 25, 49, 10, -980);
    first.trace.ac_mv.assign(first.trace.time.size(), 3);
    next.trace.ac_mv.assign(next.trace.time.size(), 3);
    for (std::size_t i = 12 * 360; i < first.trace.time.size(); ++i) {
        first.trace.ac_mv[i] = 90;
        first.trace.potential_mv[i] += 40;
    }
    const Happenings found = happenings(*joined({first, next}));
    CHECK(found.shore_power[0] == ShorePower::unplugged);
    CHECK(found.shore_power[23 * 360] == ShorePower::plugged);
    CHECK(found.shore_power[found.shows_hull.size() - 1] == ShorePower::unknown);
}

TEST_CASE("several deployments rest on the weaker of their calibrations") {
    const auto part = [](int hour, std::optional<LoggerCalibration> calibration) {
        Trace trace;
        trace.time = {from_unix_s(hour * 3600)};
        trace.potential_mv = {-900};
        trace.calibration = calibration;
        return TracePart{trace, "deployment"};
    };
    const auto at = [](int hour) { return from_unix_s(hour * 3600); };
    const LoggerCalibration first{{true, 0.3}, at(0), at(10)}, second{{false, 0.2}, at(4), at(20)};
    const auto both = joined({part(1, first), part(5, second)})->calibration;
    REQUIRE(both);
    CHECK_FALSE(both->meter.two_temperatures);
    CHECK(both->meter.instrument_expanded_mv == 0.3);
    CHECK(both->due == at(20));
    // Readings that went on after the first was due stay so.
    CHECK(joined({part(11, first), part(12, second)})->calibration->due == at(10));
    CHECK_FALSE(joined({part(1, first), part(5, {})})->calibration);
    CHECK_FALSE(joined({part(1, {}), part(5, second)})->calibration);
}

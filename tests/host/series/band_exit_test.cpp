#include "series/band_exit.h"

#include <doctest/doctest.h>
#include <limits>
#include <vector>

using namespace quaycell;

namespace {

constexpr double limit_mv = -950;

/// Forty days, a reading an hour, at -990 mV.
struct Record {
    std::vector<Instant> time;
    std::vector<double> value;
    std::vector<double> uncertainty; ///< expanded
    explicit Record(double uncertainty_mv = 0) {
        for (std::int64_t hour = 0; hour <= 24 * 40; ++hour) {
            time.push_back(from_unix_s(3600 * hour));
            value.push_back(-990);
            uncertainty.push_back(uncertainty_mv);
        }
    }
    std::optional<BandExit> exit(const Trend& trend) const {
        return band_exit(time, value, uncertainty, trend, limit_mv);
    }
};

Instant day(double number) {
    return from_unix_s(static_cast<std::int64_t>(86400 * number));
}

/// The last week's middle, which its median belongs to.
constexpr double middle = 36.5;

} // namespace

TEST_CASE("forty millivolts at half to one a day are used up in forty to eighty days") {
    const auto exit = Record().exit({0.8, 0.5, 1, true, ""});
    REQUIRE(exit);
    CHECK(exit->limit_mv == limit_mv);
    CHECK(exit->earliest == day(middle + 40));
    CHECK(exit->latest == day(middle + 80));
}

TEST_CASE("what the readings may be off makes the first day earlier and the last one later") {
    const auto exit = Record(20).exit({0.8, 0.5, 1, true, ""});
    REQUIRE(exit);
    CHECK(exit->earliest == day(middle + 20));
    CHECK(exit->latest == day(middle + 120));
    CHECK(exit->expanded_uncertainty_mv == 20);
}

TEST_CASE("where the limit lies inside the uncertainty it may be reached already") {
    const auto exit = Record(45).exit({0.8, 0.5, 1, true, ""});
    REQUIRE(exit);
    CHECK(exit->earliest == day(40));
    CHECK(exit->latest == day(middle + 170));
}

TEST_CASE("a drift that may be next to none has no latest day") {
    const auto exit = Record().exit({0.4, -0.1, 0.8, true, ""});
    REQUIRE(exit);
    CHECK(exit->earliest == day(middle + 50));
    CHECK_FALSE(exit->latest);
}

TEST_CASE("a drift toward more negative uses up the room to the other end of the band") {
    // 40 mV from -990 to -1030, at half to one a day.
    const Record record;
    const auto exit =
        band_exit(record.time, record.value, record.uncertainty, {-0.8, -1, -0.5, true, ""}, -1030);
    REQUIRE(exit);
    CHECK(exit->limit_mv == -1030);
    CHECK(exit->earliest == day(middle + 40));
    CHECK(exit->latest == day(middle + 80));
}

TEST_CASE("nothing is foretold from what is no trend, the other way, past the limit or too slow") {
    CHECK_FALSE(Record().exit({0.8, 0.5, 1, false, ""}));
    CHECK_FALSE(Record().exit({0.8, 0.5, 1, true, "too short"}));
    CHECK_FALSE(Record().exit({-0.8, -1, -0.5, true, ""}));
    CHECK_FALSE(Record().exit({0.005, 0.001, 0.008, true, ""}));
    Record past;
    past.value.assign(past.value.size(), -940);
    CHECK_FALSE(past.exit({0.8, 0.5, 1, true, ""}));
}

TEST_CASE("only the last week counts for where it stands now, without what is missing") {
    Record moved;
    for (std::size_t i = 0; i + 24 * 8 < moved.value.size(); ++i)
        moved.value[i] = -1090;
    moved.value.back() = std::numeric_limits<double>::quiet_NaN();
    // The middle of those that are there lies half an hour before.
    CHECK(moved.exit({0.8, 0.5, 1, true, ""})->earliest ==
          day(middle + 40) - std::chrono::minutes{30});
}

TEST_CASE("a potential that drifts by a millivolt a day leaves the band when its own line does") {
    // By its line it passes -950 mV on day 80; on day 78 it is 2 mV short of it.
    Record drifting;
    for (std::size_t i = 0; i < drifting.value.size(); ++i)
        drifting.value[i] = -1030 + static_cast<double>(i) / 24;
    const auto exit = drifting.exit({1, 1, 1, true, ""});
    REQUIRE(exit);
    CHECK(exit->earliest == day(80));
    CHECK(exit->latest == day(80));
    // Near the limit the band may be left before the record ends: not before that is told.
    for (double& each : drifting.value)
        each += 39;
    CHECK(drifting.exit({1, 1, 1, true, ""})->earliest == day(41));
    CHECK(drifting.exit({1, 1, 2, true, ""})->earliest == day(40));
}

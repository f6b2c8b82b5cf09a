#include "series/trend.h"

#include "check_values.h"
#include "series/trace.h"

#include <cmath>
#include <doctest/doctest.h>
#include <iterator>
#include <map>
#include <numeric>
#include <sstream>

using namespace quaycell;

namespace {

/// The values of a row, "values=10 5 20".
std::vector<double> values_of(const CheckRow& row) {
    std::istringstream in(row.at("inputs").substr(std::string("values=").size()));
    return {std::istream_iterator<double>(in), {}};
}

Slope slope_of(const std::vector<double>& y) {
    std::vector<double> x(y.size());
    std::iota(x.begin(), x.end(), 1);
    return theil_sen(x, y);
}

/// A made-up record with a reading each hour.
struct Record {
    std::vector<Instant> time;
    std::vector<double> standard_mv;
    std::vector<Milliseconds> stands_for;

    void add_hours(std::int64_t from_hour, std::int64_t count, double per_day_mv) {
        for (std::int64_t hour = from_hour; hour < from_hour + count; ++hour) {
            const auto h = static_cast<double>(hour);
            // A tide of 12.42 h and a little unrest from day to day.
            const double tide_mv = 25 * std::sin(h / 12.42 * 2 * 3.14159265);
            const double unrest_mv = hour / 24 % 2 == 0 ? 1.5 : -1.5;
            time.push_back(from_unix_s(3600 * hour));
            standard_mv.push_back(-980 + per_day_mv * std::floor(h / 24) + tide_mv + unrest_mv);
            stands_for.push_back(std::chrono::hours{1});
        }
    }

    Trend trend() const { return trend_of(time, standard_mv, stands_for); }
};

Record days(std::int64_t count, double per_day_mv) {
    Record record;
    record.add_hours(0, 24 * count, per_day_mv);
    return record;
}

} // namespace

TEST_CASE("published series have the published test and slope") {
    using Values = std::vector<double>;
    const std::map<std::string, double (*)(const Values&)> computed{
        {"kendall_s", [](const Values& v) { return static_cast<double>(mann_kendall(v).s); }},
        {"kendall_variance", [](const Values& v) { return mann_kendall(v).variance; }},
        {"kendall_z", [](const Values& v) { return mann_kendall(v).z; }},
        {"sen_slope", [](const Values& v) { return slope_of(v).median; }},
        {"sen_low", [](const Values& v) { return slope_of(v).low; }},
        {"sen_high", [](const Values& v) { return slope_of(v).high; }},
    };
    for (const CheckRow& row : check_rows("trend-published.csv")) {
        INFO(row.at("quantity") << " from " << row.at("source"));
        const double found = computed.at(row.at("quantity"))(values_of(row));
        CHECK(std::abs(found - number_in(row, "value")) <= number_in(row, "suggested_tolerance"));
    }
}

TEST_CASE("values that fall have the opposite of values that rise, and equal values nothing") {
    const std::vector<double> rising{1, 2, 3, 4, 5, 6, 7, 8};
    const std::vector<double> falling(rising.rbegin(), rising.rend());
    CHECK(mann_kendall(rising).s == 28);
    CHECK(mann_kendall(rising).significant());
    CHECK(mann_kendall(falling).z == -mann_kendall(rising).z);
    const MannKendall none = mann_kendall(std::vector<double>(8, -900));
    CHECK(none.s == 0);
    CHECK(none.variance == 0);
    CHECK(none.z == 0);
}

TEST_CASE("one outlier moves neither the slope nor its interval") {
    const std::vector<double> x{1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
    std::vector<double> y{2, 4, 6, 8, 10, 12, 14, 16, 18, 20};
    y[4] = 500;
    const Slope disturbed = theil_sen(x, y);
    CHECK(disturbed.median == 2);
    CHECK(disturbed.low == 2);
    CHECK(disturbed.high == 2);
}

TEST_CASE("days that are missing keep their distance") {
    CHECK(theil_sen(std::vector<double>{0, 1, 11}, std::vector<double>{0, 3, 33}).median == 3);
}

TEST_CASE("wasting anodes show beneath the tide after a season") {
    const Trend trend = days(60, 0.8).trend();
    CHECK(trend.why_none.empty());
    CHECK(trend.significant);
    CHECK(trend.mv_per_day == doctest::Approx(0.8).epsilon(0.1));
    CHECK(trend.low < 0.8);
    CHECK(trend.high > 0.8);
    CHECK(trend.low > 0);
    CHECK(days(60, -0.8).trend().mv_per_day == doctest::Approx(-0.8).epsilon(0.1));
}

TEST_CASE("a potential that only follows the tide has no significant trend") {
    const Trend trend = days(60, 0).trend();
    CHECK(trend.why_none.empty());
    CHECK_FALSE(trend.significant);
    CHECK(trend.low < 0);
    CHECK(trend.high > 0);
}

TEST_CASE("below thirty days the record tells no trend, and says what would") {
    const Trend trend = days(29, 5).trend();
    CHECK(std::isnan(trend.mv_per_day));
    CHECK(std::isnan(trend.low));
    CHECK(std::isnan(trend.high));
    CHECK_FALSE(trend.significant);
    CHECK(trend.why_none ==
          "29 of 29 days of record count: from 30 days on, 20 of them with four undisturbed hours, "
          "a record tells whether the potential drifts, as it does when anodes waste, beneath what "
          "tide and weather do to it");
    CHECK(days(30, 5).trend().why_none.empty());
    CHECK(Record{}.trend().why_none.starts_with("0 of 0 days of record"));
    CHECK(days(1, 5).trend().why_none.starts_with("1 of 1 day of record counts"));
}

TEST_CASE("a day counts from four hours on, readings without a potential do not") {
    Record record = days(19, 0);
    record.add_hours(24 * 29, 3, 0);
    CHECK(record.trend().why_none.starts_with("19 of 30 days"));
    record.add_hours(24 * 29 + 3, 1, 0);
    CHECK(record.trend().why_none.empty());
    record.standard_mv.back() = missing_value;
    CHECK(record.trend().why_none.starts_with("19 of 30 days"));
}

TEST_CASE("levels that an unknown step parts are not compared with one another") {
    Record record = days(60, 0.8);
    std::vector<std::size_t> level(record.time.size(), 0);
    for (std::size_t i = record.time.size() / 2; i < record.time.size(); ++i) {
        record.standard_mv[i] -= 70; // new anodes
        level[i] = 1;
    }
    const Trend trend = trend_of(record.time, record.standard_mv, record.stands_for, level);
    CHECK(trend.mv_per_day == doctest::Approx(0.8).epsilon(0.1));
    CHECK(trend.low < 0.8);
    CHECK(trend.high > 0.8);
    CHECK(record.trend().mv_per_day < 0);
}

TEST_CASE("days that resemble the day before make the interval wider") {
    Record white = days(60, 0.5), alike = days(60, 0.5);
    std::uint32_t bits = 7;
    double wander = 0;
    for (std::size_t i = 0; i < white.time.size(); i += 24) {
        bits = bits * 1664525 + 1013904223;
        const double chance = static_cast<double>(bits >> 8) / (1 << 24) - 0.5;
        wander = 0.8 * wander + chance;
        for (std::size_t hour = i; hour < i + 24; ++hour) {
            white.standard_mv[hour] += 8 * chance;
            alike.standard_mv[hour] += 8 * wander;
        }
    }
    const Trend of_white = white.trend(), of_alike = alike.trend();
    CHECK(of_alike.high - of_alike.low > 1.5 * (of_white.high - of_white.low));
}

TEST_CASE("a day with a step in it counts once") {
    Record record = days(8, 0);
    std::vector<std::size_t> level(record.time.size(), 0);
    for (std::size_t i = 24 * 3 + 12; i < level.size(); ++i)
        level[i] = 1;
    const Trend trend = trend_of(record.time, record.standard_mv, record.stands_for, level);
    CHECK(trend.why_none.starts_with("8 of 8 days of record count"));
}

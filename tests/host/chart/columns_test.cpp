#include "chart/columns.h"

#include "series/trace.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

/// 100 mm for 100 s, 0 to -1000 mV over 100 mm: x is the second, y a tenth of the potential.
const Plot plot{{0, 0, 100, 100}, from_unix_s(0), from_unix_s(100), -1000, 0};

std::vector<Instant> seconds(const std::vector<double>& values) {
    std::vector<Instant> time;
    time.reserve(values.size());
    for (const double value : values)
        time.push_back(Instant{Milliseconds{static_cast<std::int64_t>(value * 1000)}});
    return time;
}

std::vector<std::vector<Point>> trace_lines(const Plot& where, const Column<Instant>& time,
                                            const Column<double>& values, std::span<const Gap> gaps,
                                            double column_mm) {
    return points_of(where, drawn_lines(where, time, values, gaps, column_mm));
}

} // namespace

TEST_CASE("more negative is lower, later is to the right") {
    const auto lines =
        trace_lines(plot, seconds({0, 50, 100}), std::vector{-100.0, -900.0, 0.0}, {}, 1);
    REQUIRE(lines.size() == 1);
    REQUIRE(lines[0].size() == 3);
    CHECK(lines[0][1].x_mm == doctest::Approx(50));
    CHECK(lines[0][1].y_mm == doctest::Approx(90));
    CHECK(lines[0][2].y_mm == doctest::Approx(0));
}

TEST_CASE("of a column the first, lowest, highest and last reading stay, in order of time") {
    const auto lines =
        trace_lines(plot, seconds({10, 10.1, 10.2, 10.3, 10.4, 10.5, 20}),
                    std::vector{-500.0, -510.0, -900.0, -520.0, -100.0, -530.0, -540.0}, {}, 1);
    REQUIRE(lines.size() == 1);
    std::vector<double> kept;
    for (const Point& point : lines[0])
        kept.push_back(point.y_mm);
    CHECK(kept == std::vector<double>{50, 90, 10, 53, 54});
}

TEST_CASE("a gap breaks the line, and so does a missing value") {
    const std::vector<Gap> gaps{{from_unix_s(21), from_unix_s(60)}};
    const auto lines =
        trace_lines(plot, seconds({10, 20, 60, 70, 80, 90, 95}),
                    std::vector{-1.0, -2.0, -3.0, -4.0, missing_value, -5.0, -6.0}, gaps, 1);
    REQUIRE(lines.size() == 3);
    CHECK(lines[0].size() == 2);
    CHECK(lines[1].size() == 2);
    CHECK(lines[2].size() == 2);
}

TEST_CASE("a reading alone is a line of one point") {
    const auto lines = trace_lines(plot, seconds({10, 20, 30}),
                                   std::vector{missing_value, -2.0, missing_value}, {}, 1);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].size() == 1);
    CHECK(trace_lines(plot, {}, {}, {}, 1).empty());
}

TEST_CASE("one extreme among 600 000 readings is in the picture, which stays small") {
    constexpr std::size_t count = 600000;
    std::vector<Instant> time;
    std::vector<double> values(count, -900);
    for (std::size_t i = 0; i < count; ++i)
        time.push_back(Instant{Milliseconds{static_cast<std::int64_t>(i / 6)}});
    values[412345] = -123;
    const auto lines = trace_lines(plot, time, values, {}, 0.2);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].size() <= 4 * 501);
    CHECK(std::any_of(lines[0].begin(), lines[0].end(),
                      [](const Point& point) { return point.y_mm == doctest::Approx(12.3); }));
}

TEST_CASE("a million missing values do not make a million lines") {
    std::vector<Instant> time;
    std::vector<double> values;
    for (int i = 0; i < 100000; ++i) {
        time.push_back(Instant{Milliseconds{i}});
        values.push_back(i % 2 == 0 ? -900 : missing_value);
    }
    CHECK(trace_lines(plot, time, values, {}, 0.2).size() <= 501);
}

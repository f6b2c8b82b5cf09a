// Mean, deviation, likeness, a change and waves, as the program computes them in passing, against
// the series that statistics are checked with.
#include "check_values.h"
#include "series/change_points.h"
#include "series/least_squares.h"
#include "series/likeness.h"

#include <array>
#include <cmath>
#include <doctest/doctest.h>
#include <iterator>
#include <numbers>
#include <sstream>

using namespace quaycell;

namespace {

std::vector<double> listed(const std::string& text) {
    std::istringstream in(text);
    return {std::istream_iterator<double>(in), {}};
}

/// "values=1.2;then=1.1 1.3;times=500": 1001 values.
std::vector<double> values_of(const CheckRow& row) {
    std::vector<double> values = listed(input_text(row, "values"));
    if (row.at("inputs").find("then=") == std::string::npos) return values;
    const std::vector<double> then = listed(input_text(row, "then"));
    for (int times = 0; times < input_of(row, "times"); ++times)
        values.insert(values.end(), then.begin(), then.end());
    return values;
}

/// A level and nothing else.
LeastSquares level_of(const std::vector<double>& values) {
    const auto rows = static_cast<Eigen::Index>(values.size());
    return least_squares(Eigen::MatrixXd::Ones(rows, 1),
                         Eigen::Map<const Eigen::VectorXd>(values.data(), rows));
}

/// In units of the noise, as change_points() takes them; the first change.
double first_change(const CheckRow& row) {
    std::vector<double> values = values_of(row);
    for (double& value : values)
        value /= input_of(row, "sigma");
    const auto changes = change_points(values, 2 * std::log(static_cast<double>(values.size())));
    return changes.empty() ? -1 : static_cast<double>(changes.front());
}

} // namespace

TEST_CASE("Mean, deviation, likeness and change are those of the published series") {
    const int held = hold_to_published(
        "statistics-published.csv",
        {{"mean", [](const CheckRow& row) { return level_of(values_of(row)).coefficient(0); }},
         {"standard_deviation",
          [](const CheckRow& row) { return level_of(values_of(row)).residual_deviation; }},
         {"lag_1_autocorrelation",
          [](const CheckRow& row) { return lag_1_autocorrelation(values_of(row)); }},
         {"change_at", first_change}},
        {{"cusum_signal", "the program sums nothing up: it looks for the change itself, which the "
                          "row above holds"}});
    CHECK(held == 7);
}

TEST_CASE("Waves of 50 and 100 Hz are parted from a level and from what is not there") {
    // 200 samples at 1 kHz of -960 + 12 sqrt 2 sin(2 pi 50 t + 0.3) + 5 sqrt 2 sin(2 pi 100 t):
    // rms 12.000 and 5.000, none at 60 and 150 Hz, -960 in the mean (made up; recomputed by a
    // separate program). Whole cycles of each fit into 200 ms.
    constexpr double pi = std::numbers::pi, root = std::numbers::sqrt2;
    constexpr int samples = 200;
    const std::array waves_hz{50.0, 60.0, 100.0, 150.0};
    Eigen::MatrixXd design(samples, 9);
    Eigen::VectorXd value(samples);
    for (int i = 0; i < samples; ++i) {
        const double t = i / 1000.0;
        value(i) = -960 + 12 * root * std::sin(2 * pi * 50 * t + 0.3) +
                   5 * root * std::sin(2 * pi * 100 * t);
        design(i, 0) = 1;
        for (Eigen::Index wave = 0; wave < 4; ++wave) {
            const double angle = 2 * pi * waves_hz[static_cast<std::size_t>(wave)] * t;
            design(i, 2 * wave + 1) = std::cos(angle);
            design(i, 2 * wave + 2) = std::sin(angle);
        }
    }
    const LeastSquares fit = least_squares(design, value);
    const auto rms = [&](Eigen::Index wave) {
        return std::hypot(fit.coefficient(2 * wave + 1), fit.coefficient(2 * wave + 2)) / root;
    };
    CHECK(fit.coefficient(0) == doctest::Approx(-960).epsilon(1e-9));
    CHECK(std::abs(rms(0) - 12) < 0.0005);
    CHECK(std::abs(rms(2) - 5) < 0.0005);
    CHECK(rms(1) < 0.0005);
    CHECK(rms(3) < 0.0005);
    CHECK(std::abs(level_of({value.begin(), value.end()}).residual_deviation *
                       std::sqrt((samples - 1.0) / samples) -
                   13) < 0.0005);
}

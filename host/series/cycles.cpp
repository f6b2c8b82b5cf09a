#include "series/cycles.h"

#include "series/least_squares.h"
#include "series/likeness.h"
#include "series/robust.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

/// Periods of the moon's and the sun's part of the tide, and of the day (practice of tide tables).
struct Known {
    std::string_view name;
    double period_h;
};
constexpr Known tide{"tide", 12.42};
constexpr Known solar_tide{"tide, the sun's part", 12.00};
constexpr Known day{"day", 24.00};
constexpr Known day_or_tide{"day, or the tide's daily part", 24.00};
constexpr Known daily_tide{"daily tide", 24.84};

/// Two rounds of the day: from less a cycle is no more than a guess (our judgement).
constexpr double fewest_hours = 48;
/// After which two periods part by one round (Rayleigh): 14.8 days of the moon's and the sun's
/// tide, 29.6 days of the daily tide and the day.
constexpr double hours_to_part(Known shorter, Known longer) {
    return 1 / (1 / shorter.period_h - 1 / longer.period_h);
}

constexpr Milliseconds bin = 10min;
constexpr int most_bins = 20'000;
/// A level that is shorter tells nothing of a cycle, [bins].
constexpr std::size_t fewest_bins = 12;
/// An amplitude stands out at so many of its standard uncertainties, and is worth telling from so
/// many mV on (our judgement: both cells and converter are steady to about as much).
constexpr double stands_out = 4;
constexpr double worth_telling_mv = 0.3;

struct Bins {
    std::vector<Instant> time;
    std::vector<double> value;
    std::vector<std::size_t> level;
};

Bins bins_of(const Column<Instant>& time, const Column<double>& value,
             const Column<std::size_t>& level) {
    const Milliseconds whole = time.back() - time.front();
    const Milliseconds length = std::max(bin, whole / most_bins);
    Bins bins;
    std::vector<double> values;
    for (std::size_t end = 0; end < time.size();) {
        const Instant first = time[end];
        const std::size_t bin_level = level[end];
        Instant last = first;
        values.clear();
        for (; end < time.size(); ++end) {
            const Instant now = time[end];
            if (now - first >= length || level[end] != bin_level) break;
            values.push_back(value[end]);
            last = now;
        }
        bins.time.push_back(first + (last - first) / 2);
        bins.value.push_back(median_in_place(values));
        bins.level.push_back(bin_level);
    }
    return bins;
}

/// Takes from every column its mean in each level, so that levels need no coefficients; drops
/// levels that are too short. (Frisch and Waugh.)
struct WithoutLevels {
    Eigen::MatrixXd design;
    Eigen::VectorXd value;
};

WithoutLevels without_levels(const Bins& bins, const Eigen::MatrixXd& design) {
    std::vector<std::pair<Eigen::Index, Eigen::Index>> stretches;
    Eigen::Index rows = 0;
    for (std::size_t first = 0; first < bins.time.size();) {
        std::size_t end = first;
        while (end < bins.time.size() && bins.level[end] == bins.level[first])
            ++end;
        if (end - first >= fewest_bins) {
            stretches.emplace_back(first, end - first);
            rows += static_cast<Eigen::Index>(end - first);
        }
        first = end;
    }
    WithoutLevels left{Eigen::MatrixXd(rows, design.cols()), Eigen::VectorXd(rows)};
    const Eigen::Map<const Eigen::VectorXd> value(bins.value.data(),
                                                  static_cast<Eigen::Index>(bins.value.size()));
    Eigen::Index row = 0;
    for (const auto& [first, count] : stretches) {
        const auto part = design.middleRows(first, count);
        left.design.middleRows(row, count) = part.rowwise() - part.colwise().mean();
        left.value.segment(row, count) =
            value.segment(first, count).array() - value.segment(first, count).mean();
        row += count;
    }
    return left;
}

double hours(Instant from, Instant to) {
    return seconds_between(from, to) / 3600;
}

double angle(double period_h, double at_h) {
    return 2 * std::numbers::pi * at_h / period_h;
}

/// How much residuals resemble the one before.
double likeness(const Eigen::VectorXd& residual) {
    const std::span all(residual.data(), static_cast<std::size_t>(residual.size()));
    return std::clamp(lag_1_autocorrelation(all), 0.0, 0.99);
}

} // namespace

double Cycles::at_mv(Instant time) const {
    double sum = 0;
    for (const Cycle& cycle : found)
        sum += cycle.amplitude_mv * std::cos(angle(cycle.period_h, hours(cycle.high_at, time)));
    return sum;
}

Cycles cycles_of(const Column<Instant>& time, const Column<double>& value_mv,
                 const Column<std::size_t>& level) {
    Cycles cycles;
    const double length_h = time.empty() ? 0 : hours(time.front(), time.back());
    if (length_h < fewest_hours) {
        cycles.why_none =
            fmt::format("a record of {:.0f} h tells no tide and no day; {:.0f} h would", length_h,
                        fewest_hours);
        return cycles;
    }
    constexpr double hours_to_part_days = hours_to_part(day, daily_tide);
    std::vector<Known> known{tide};
    if (length_h >= hours_to_part(solar_tide, tide)) known.push_back(solar_tide);
    if (length_h >= hours_to_part_days) {
        known.push_back(day);
        known.push_back(daily_tide);
    } else {
        known.push_back(day_or_tide);
        cycles.why_none = fmt::format("the day (24 h) and the tide's daily part (24.84 h) are told "
                                      "apart from {:.1f} days on",
                                      hours_to_part_days / 24);
    }

    const Bins bins = bins_of(time, value_mv, level);
    const Instant origin = time.front();
    const auto columns = static_cast<Eigen::Index>(2 * known.size() + 1);
    Eigen::MatrixXd design(static_cast<Eigen::Index>(bins.time.size()), columns);
    for (std::size_t i = 0; i < bins.time.size(); ++i) {
        const auto row = static_cast<Eigen::Index>(i);
        const double at_h = hours(origin, bins.time[i]);
        Eigen::Index column = 0;
        for (const Known& each : known) {
            design(row, column++) = std::cos(angle(each.period_h, at_h));
            design(row, column++) = std::sin(angle(each.period_h, at_h));
        }
        design(row, column) = at_h / length_h;
    }
    const WithoutLevels left = without_levels(bins, design);
    if (left.value.size() <= columns) return cycles;
    const LeastSquares fit = least_squares(left.design, left.value);
    if (!fit.determined) return cycles;
    const double r = likeness(fit.residual);
    const double widened = std::sqrt((1 + r) / (1 - r));
    for (std::size_t i = 0; i < known.size(); ++i) {
        const auto column = static_cast<Eigen::Index>(2 * i);
        const double cosine = fit.coefficient(column), sine = fit.coefficient(column + 1);
        const double amplitude = std::hypot(cosine, sine);
        const double uncertainty =
            widened * std::max(fit.standard_error(column), fit.standard_error(column + 1));
        if (amplitude < std::max(stands_out * uncertainty, worth_telling_mv)) continue;
        double phase = std::atan2(sine, cosine) / (2 * std::numbers::pi);
        if (phase < 0) phase += 1;
        const auto high_at = Milliseconds{std::llround(phase * known[i].period_h * 3'600'000)};
        cycles.found.push_back(
            {known[i].name, known[i].period_h, amplitude, uncertainty, origin + high_at});
    }
    return cycles;
}

} // namespace quaycell

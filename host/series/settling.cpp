#include "series/settling.h"

#include "series/least_squares.h"
#include "series/robust.h"

#include <array>
#include <cmath>
#include <vector>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

/// Polarisation goes on for 5 to 24 h after new anodes (a surveyors' lexicon, read).
constexpr Milliseconds looked_at = 36h;
constexpr Milliseconds fewest = 6h;
constexpr Milliseconds bin = 10min;
constexpr std::array time_constants_h{1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0};
/// Less than this may be anything (our judgement).
constexpr double least_mv = 10;
/// The decay leaves so much less of the squared deviations than a straight line.
constexpr double better_than_line = 0.3;

struct Bins {
    std::vector<double> hour;
    std::vector<double> value;
};

Bins bins_of(std::span<const Instant> time, std::span<const double> value) {
    Bins bins;
    for (std::size_t first = 0; first < time.size() && time[first] - time[0] < looked_at;) {
        std::size_t end = first;
        std::vector<double> values;
        while (end < time.size() && time[end] - time[first] < bin)
            values.push_back(value[end++]);
        bins.hour.push_back(
            seconds_between(time[0], time[first] + (time[end - 1] - time[first]) / 2) / 3600);
        bins.value.push_back(median_of(std::move(values)));
        first = end;
    }
    return bins;
}

} // namespace

double Settling::at_mv(Instant time) const {
    return size_mv * std::exp(-seconds_between(from, time) / 3600 / time_constant_h);
}

std::optional<Settling> settling_of(std::span<const Instant> time,
                                    std::span<const double> value_mv) {
    if (time.empty() || time.back() - time.front() < fewest) return std::nullopt;
    const Bins bins = bins_of(time, value_mv);
    const auto rows = static_cast<Eigen::Index>(bins.hour.size());
    const Eigen::Map<const Eigen::VectorXd> value(bins.value.data(), rows);
    const Eigen::Map<const Eigen::ArrayXd> hour(bins.hour.data(), rows);
    Eigen::MatrixXd design(rows, 2);
    design.col(0).setOnes();
    design.col(1) = hour;
    const LeastSquares line = least_squares(design, value);
    if (!line.determined) return std::nullopt;

    double least = better_than_line * line.residual.squaredNorm();
    std::optional<Settling> best;
    for (const double constant_h : time_constants_h) {
        design.col(1) = (-hour / constant_h).exp();
        const LeastSquares fit = least_squares(design, value);
        if (!fit.determined || fit.coefficient(1) < least_mv) continue;
        if (fit.residual.squaredNorm() >= least) continue;
        least = fit.residual.squaredNorm();
        best = Settling{time.front(), fit.coefficient(1), constant_h};
    }
    return best;
}

} // namespace quaycell

#include "bench/sea/signal.h"

#include "bench/random.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace quaycell::bench {

namespace {

using Seconds = std::chrono::duration<double>;
using namespace std::chrono_literals;

// The principal lunar semidiurnal tide, to the hundredth of an hour; common knowledge of the trade.
constexpr Time tide_period = 44712s;
constexpr Time day_period = 24h;
constexpr double noise_limit_sigmas = 5;

double wave(double amplitude, Time period, Time high_at, Time when) {
    const double phase = Seconds(when - high_at) / Seconds(period);
    return amplitude * std::cos(2 * std::numbers::pi * phase);
}

struct ValueAt {
    Time when;
    double operator()(const Ramp& ramp) const {
        const double done = Seconds(when - ramp.from) / Seconds(ramp.to - ramp.from);
        return ramp.change * std::clamp(done, 0.0, 1.0);
    }
    double operator()(const Tide& tide) const {
        return wave(tide.amplitude, tide_period, tide.high_at, when);
    }
    double operator()(const Day& day) const {
        return wave(day.amplitude, day_period, day.high_at, when);
    }
    double operator()(const Step& step) const {
        return when >= step.at && when < step.until ? step.change : 0;
    }
    double operator()(const Noise& noise) const {
        const auto second = std::chrono::floor<std::chrono::seconds>(when).count();
        return noise.sigma * random_gaussian(noise.seed, static_cast<std::uint64_t>(second));
    }
};

struct LimitsOf {
    Range operator()(const Ramp& ramp) const { return of_change(ramp.change); }
    Range operator()(const Tide& tide) const { return either_way(tide.amplitude); }
    Range operator()(const Day& day) const { return either_way(day.amplitude); }
    Range operator()(const Step& step) const { return of_change(step.change); }
    Range operator()(const Noise& noise) const {
        return either_way(noise_limit_sigmas * noise.sigma);
    }

    static Range of_change(double change) { return {std::min(0.0, change), std::max(0.0, change)}; }
    static Range either_way(double size) { return {-std::abs(size), std::abs(size)}; }
};

} // namespace

double Signal::at(Time when) const {
    double value = base_;
    for (const Part& part : parts_)
        value += std::visit(ValueAt{when}, part);
    return value;
}

Range Signal::limits() const {
    Range limits{base_, base_};
    for (const Part& part : parts_) {
        const Range add = std::visit(LimitsOf{}, part);
        limits.low += add.low;
        limits.high += add.high;
    }
    return limits;
}

} // namespace quaycell::bench

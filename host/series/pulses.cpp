#include "series/pulses.h"

#include "series/robust.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

constexpr Milliseconds longest_pulse = 3h;
constexpr double alike_height = 0.12;
constexpr double paired_height = 0.2;
constexpr double alike_length = 0.3;
constexpr double alike_noises = 2;
constexpr double alike_mv = 1.5;
/// After so many periods without a pulse it is another load, or the same one begins anew.
constexpr int periods_to_end = 4;
/// What comes at about the same time of day is the same load, however long it was off.
constexpr Milliseconds about_that_time = 30min;

/// Whether it comes at the time of day of one of those the day before, as what people switch does.
bool comes_daily(const Pulse& pulse, std::span<const Pulse> before) {
    const auto is_a_day_earlier = [&](const Pulse& each) {
        return std::chrono::abs(pulse.begin - each.begin - 24h) <= about_that_time;
    };
    return std::ranges::any_of(before, is_a_day_earlier);
}

void end_at_silence(std::vector<Pulse>& group) {
    const Milliseconds silence = periods_to_end * period_of(group);
    for (std::size_t i = 1; i < group.size(); ++i) {
        if (group[i].begin - group[i - 1].begin <= silence) continue;
        if (comes_daily(group[i], std::span(group).first(i))) continue;
        group.erase(group.begin() + static_cast<std::ptrdiff_t>(i), group.end());
    }
}

} // namespace

double height_tolerance(double height_mv, double noise_mv, double share) {
    return std::max({share * std::abs(height_mv), alike_noises * noise_mv, alike_mv});
}

Milliseconds length_tolerance(Milliseconds length, double share, Milliseconds interval) {
    const auto part =
        Milliseconds{static_cast<std::int64_t>(share * static_cast<double>(length.count()))};
    return std::max(part, 2 * interval);
}

std::vector<Pulse> pulses_of(std::span<const TimedStep> steps, const std::vector<bool>& taken,
                             double noise_mv) {
    std::vector<Pulse> pulses;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (taken[i]) continue;
        const TimedStep& on = steps[i];
        std::optional<Pulse> best;
        double least_off_mv = 0;
        for (std::size_t k = i + 1; k < steps.size(); ++k) {
            const TimedStep& off = steps[k];
            if (off.time - on.time > longest_pulse) break;
            if (taken[k]) continue;
            const bool is_back = on.height_mv * off.height_mv < 0;
            const double off_mv =
                std::abs(on.height_mv + (is_back ? off.height_mv : -off.height_mv));
            const double height_mv =
                (on.height_mv + (is_back ? -off.height_mv : off.height_mv)) / 2;
            if (off_mv > 2 * height_tolerance(height_mv, noise_mv, paired_height)) continue;
            if (!is_back) break;
            // A later one has to match clearly better.
            if (best && off_mv + height_tolerance(0, noise_mv, 0) >= least_off_mv) continue;
            best = Pulse{i, k, on.time, height_mv, off.time - on.time};
            least_off_mv = off_mv;
        }
        if (best) pulses.push_back(*best);
    }
    return pulses;
}

Milliseconds period_of(const std::vector<Pulse>& group) {
    std::vector<double> apart;
    for (std::size_t i = 1; i < group.size(); ++i)
        apart.push_back(static_cast<double>((group[i].begin - group[i - 1].begin).count()));
    return Milliseconds{apart.empty() ? 0 : std::llround(median_of(std::move(apart)))};
}

bool is_alike(const Pulse& pulse, const Pulse& model, double noise_mv, Milliseconds interval) {
    return std::abs(pulse.height_mv - model.height_mv) <=
               height_tolerance(model.height_mv, noise_mv, alike_height) &&
           std::chrono::abs(pulse.length - model.length) <=
               length_tolerance(model.length, alike_length, interval);
}

std::vector<Pulse> group_of(const std::vector<Pulse>& pulses, std::size_t first, double noise_mv,
                            Milliseconds interval) {
    std::vector<Pulse> group;
    for (std::size_t i = first; i < pulses.size(); ++i) {
        // A step belongs to one pulse only.
        const bool is_free = group.empty() || pulses[i].on > group.back().off;
        if (is_free && is_alike(pulses[i], pulses[first], noise_mv, interval))
            group.push_back(pulses[i]);
    }
    end_at_silence(group);
    return group;
}

} // namespace quaycell

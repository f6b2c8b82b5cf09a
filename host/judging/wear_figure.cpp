#include "judging/wear_figure.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// As far as the line meets 0: no anode has less.
std::vector<AnodeMass> line_of(const Wear& wear, Instant from, Instant to) {
    const double from_kg = wear.line_kg_at(from), to_kg = wear.line_kg_at(to);
    if (to_kg >= 0) return {{from, from_kg}, {to, to_kg}};
    const double share = from_kg / (from_kg - to_kg);
    const auto length_ms = static_cast<double>((to - from).count());
    return {{from, from_kg}, {from + Milliseconds{std::llround(share * length_ms)}, 0}};
}

} // namespace

AnodeWear wear_figure(const FittedAnode& anode, const Wear& wear, double renew_at_gone,
                      Instant now) {
    constexpr std::chrono::days farthest_shown{5 * 365};
    const auto shown = [&](const std::optional<Instant>& at) {
        return at && *at <= now + farthest_shown ? at : std::nullopt;
    };
    AnodeWear figure{fmt::format("{}, {}", name_of(anode.alloy), anode.place),
                     anode.new_mass_kg,
                     renew_at_gone,
                     {{anode.fitted, anode.new_mass_kg}},
                     {},
                     shown(wear.renew_from),
                     shown(wear.renew_to),
                     Zone()};
    for (const AnodeMassSeen& each : anode.seen)
        if (each.mass_kg > 0) figure.weighed.push_back({each.at, each.mass_kg});
    if (wear.gone_by) { // at the latest: no line through it
        figure.expected = {figure.weighed.back(), {*wear.gone_by, 0}};
        return figure;
    }
    const Instant until = std::clamp(wear.renew_to.value_or(now), now, now + farthest_shown);
    figure.expected = line_of(wear, anode.fitted, until);
    return figure;
}

} // namespace quaycell

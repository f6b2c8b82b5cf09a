#include "judging/wear_figure.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

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
    for (const Instant at : {anode.fitted, until})
        figure.expected.push_back({at, wear.share_left_at(at).middle() * anode.new_mass_kg});
    return figure;
}

} // namespace quaycell

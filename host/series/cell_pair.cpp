#include "series/cell_pair.h"

#include "series/robust.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

constexpr Milliseconds beginning = 2h;
constexpr Milliseconds stays_away = 1h;
constexpr std::size_t window = 9; // readings; a median of them is steady to a third of their noise

/// Of the readings of one deployment: cells that hang anew begin anew.
void add_partings(const Trace& trace, const std::vector<bool>& shows_hull, std::size_t begin,
                  std::size_t end, std::vector<Event>& events) {
    std::vector<Instant> time;
    std::vector<double> difference, first;
    for (std::size_t i = begin; i < end; ++i) {
        const double apart = trace.cell_b_mv[i] - trace.potential_mv[i];
        if (!shows_hull[i] || std::isnan(apart)) continue;
        time.push_back(trace.time[i]);
        difference.push_back(apart);
        if (trace.time[i] - time.front() < beginning) first.push_back(apart);
    }
    const double usual = median_of(first);
    std::optional<std::size_t> apart_since;
    bool told = false;
    const auto away = [&](double each) { return std::abs(each - usual) > cells_apart_mv; };
    for (std::size_t i = 0; i + window <= time.size(); ++i) {
        const auto from = difference.begin() + static_cast<std::ptrdiff_t>(i);
        const double median = median_of({from, from + window});
        if (!away(median)) {
            apart_since.reset();
            told = false;
            continue;
        }
        if (!apart_since) {
            // The median turns when most of the window has: to the reading from where on it has.
            std::size_t turned = i + window - 1;
            while (turned > i && away(difference[turned - 1]))
                --turned;
            apart_since = turned;
        }
        const bool last = i + window == time.size();
        if (told || (time[i] - time[*apart_since] < stays_away && !last)) continue;
        told = true;
        events.push_back({time[*apart_since], EventKind::cells_disagree, missing_value,
                          fmt::format("cells A and B have parted by {:.1f} mV since the beginning: "
                                      "one of them is no longer right",
                                      std::abs(median - usual))});
    }
}

} // namespace

std::vector<Event> cells_that_part(const Trace& trace, const std::vector<bool>& shows_hull) {
    std::vector<Event> events;
    std::size_t begin = 0;
    for (const Joint& joint : trace.joints) {
        add_partings(trace, shows_hull, begin, std::min(joint.first, trace.cell_b_mv.size()),
                     events);
        begin = joint.first;
    }
    add_partings(trace, shows_hull, begin, trace.cell_b_mv.size(), events);
    return events;
}

} // namespace quaycell

#include "chart/listed.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>

namespace quaycell {

namespace {

/// The first `most` by `before`, in order of their places; `always` are among them.
template <typename Before>
Listed first_by(std::size_t count, std::size_t most, const std::vector<std::size_t>& always,
                Before before) {
    Listed listed;
    listed.rows.resize(count);
    std::iota(listed.rows.begin(), listed.rows.end(), 0);
    if (count <= most) return listed;
    std::ranges::stable_sort(listed.rows, before);
    std::ranges::stable_partition(listed.rows, [&always](std::size_t row) {
        return std::ranges::find(always, row) != always.end();
    });
    listed.rows.resize(most);
    listed.left_out = count - most;
    std::ranges::sort(listed.rows);
    return listed;
}

Milliseconds lasting(const Spell& spell) {
    return spell.to - spell.from;
}

/// Of the spells in that verdict the one whose potential went farthest: too far up where the hull
/// was under-protected, too far down where it was over-protected.
std::optional<std::size_t> farthest(const std::vector<NumberedSpell>& spells, Verdict verdict) {
    const double sign = verdict == Verdict::over_protected ? -1 : 1;
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < spells.size(); ++i) {
        const Spell& spell = spells[i].spell;
        if (spell.verdict != verdict || !std::isfinite(spell.worst_mv)) continue;
        if (!found || sign * spell.worst_mv > sign * spells[*found].spell.worst_mv) found = i;
    }
    return found;
}

} // namespace

Listed largest_events(const std::vector<Event>& events, std::size_t most) {
    const auto size = [&events](std::size_t row) {
        const Event& event = events[row];
        if (std::isfinite(event.change_mv)) return std::abs(event.change_mv);
        const bool is_pause = event.kind == EventKind::gap || event.kind == EventKind::restart ||
                              event.kind == EventKind::clock_set;
        // What makes readings worthless is never left out for a step: open leads, a dry cell.
        return is_pause ? 0 : std::numeric_limits<double>::infinity();
    };
    return first_by(events.size(), most, {},
                    [&size](std::size_t a, std::size_t b) { return size(a) > size(b); });
}

Listed longest_spells(const std::vector<NumberedSpell>& spells, std::size_t most) {
    std::vector<std::size_t> always;
    for (const Verdict verdict : {Verdict::under_protected, Verdict::over_protected})
        if (const auto row = farthest(spells, verdict)) always.push_back(*row);
    Listed listed = first_by(spells.size(), most, always, [&spells](std::size_t a, std::size_t b) {
        return lasting(spells[a].spell) > lasting(spells[b].spell);
    });
    for (const NumberedSpell& each : spells)
        listed.left_out_lasting += lasting(each.spell);
    for (const std::size_t row : listed.rows)
        listed.left_out_lasting -= lasting(spells[row].spell);
    return listed;
}

} // namespace quaycell

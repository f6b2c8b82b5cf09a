#include "series/lead_looks.h"

#include "wire/record.h"

#include <algorithm>

namespace quaycell {

namespace {

bool answers(LeadState state) {
    return state == LeadState::good || state == LeadState::drying;
}

LeadChange change(const LeadLook& look, LeadState now, const wire::Circuit& circuit) {
    if (now == LeadState::good)
        return {look.row, EventKind::open_lead, "cell and leads are good again"};
    const EventKind kind = now == LeadState::drying ? EventKind::cell_dry : EventKind::open_lead;
    return {look.row, kind, lead_words(look.a, look.b, circuit)};
}

} // namespace

LeadFindings look_through(std::span<const LeadLook> looks, const wire::Circuit& circuit) {
    LeadFindings found;
    found.has_b = std::ranges::any_of(
        looks, [&](const LeadLook& look) { return answers(lead_state(look.b, circuit)); });

    LeadState before = LeadState::unknown;
    std::size_t since = 0; // the first reading after the last look
    std::uint8_t last_b = wire::missing_byte;
    for (LeadLook look : looks) {
        if (look.b != wire::missing_byte) last_b = look.b;
        const LeadState now = lead_state(look.a, circuit);
        if (now == LeadState::unknown) continue;
        if (now == LeadState::not_good && before != LeadState::not_good && since < look.row)
            found.doubtful.push_back({since, look.row});
        look.b = found.has_b ? last_b : wire::missing_byte;
        const bool was_good = before == LeadState::unknown || before == LeadState::good;
        if (now != before && !(now == LeadState::good && was_good))
            found.changes.push_back(change(look, now, circuit));
        before = now;
        since = look.row + 1;
    }
    return found;
}

} // namespace quaycell

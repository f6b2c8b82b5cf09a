#include "series/lead_looks.h"

#include "wire/record.h"

#include <algorithm>

namespace quaycell {

namespace {

bool answers(LeadState state) {
    return state == LeadState::good || state == LeadState::drying;
}

void leave_out_cell_b(Trace& trace) {
    std::ranges::fill(trace.cell_b_mv, missing_value);
    for (Quality& quality : trace.quality)
        quality = without(quality, Quality::cell_b_saturated | Quality::cell_b_drying |
                                       Quality::cell_b_not_good);
}

Event change(Instant time, LeadState now, const LeadLook& look, const wire::Circuit& circuit) {
    if (now == LeadState::good)
        return {time, EventKind::open_lead, missing_value, "cell and leads are good again"};
    const EventKind kind = now == LeadState::drying ? EventKind::cell_dry : EventKind::open_lead;
    return {time, kind, missing_value, lead_words(look.a, look.b, circuit)};
}

} // namespace

void lay_looks_over(Trace& trace, const std::vector<LeadLook>& looks,
                    const wire::Circuit& circuit) {
    const bool has_b = std::ranges::any_of(
        looks, [&](const LeadLook& look) { return answers(lead_state(look.b, circuit)); });
    if (!has_b) leave_out_cell_b(trace);

    LeadState before = LeadState::unknown;
    std::size_t since = 0; // the first reading after the last look
    std::uint8_t last_b = wire::missing_byte;
    for (std::size_t row = 0; row < looks.size(); ++row) {
        LeadLook look = looks[row];
        trace.source_ohm.push_back(source_ohm(look.a, circuit));
        if (look.b != wire::missing_byte) last_b = look.b;
        const LeadState now = lead_state(look.a, circuit);
        if (now == LeadState::unknown) continue;
        if (now == LeadState::not_good && before != LeadState::not_good)
            for (std::size_t i = since; i < row; ++i)
                trace.quality[i] |= Quality::lead_doubtful;
        look.b = has_b ? last_b : wire::missing_byte;
        const bool was_good = before == LeadState::unknown || before == LeadState::good;
        if (now != before && !(now == LeadState::good && was_good))
            trace.events.push_back(change(trace.time[row], now, look, circuit));
        before = now;
        since = row + 1;
    }
}

} // namespace quaycell

#include "series/join.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

std::string scale_text(const std::optional<Scale>& scale) {
    return scale ? fmt::format("on {}", name_of(*scale)) : "on a scale that it does not tell";
}

std::optional<Error> do_not_join(const TracePart& one, const TracePart& next) {
    if (next.trace.time.front() <= one.trace.time.back())
        return Error{ErrorCode::wrong_input,
                     fmt::format("{} and {} overlap: the one has readings until {}, the other from "
                                 "{} on",
                                 one.what, next.what, to_text(one.trace.time.back()),
                                 to_text(next.trace.time.front())),
                     "",
                     "Name only one of both. Where a clock was wrong, put it right with `quaycell "
                     "correct --move-times`."};
    if (one.trace.cell_scale != next.trace.cell_scale)
        return Error{ErrorCode::wrong_input,
                     fmt::format("{} was measured {}, {} {}", one.what,
                                 scale_text(one.trace.cell_scale), next.what,
                                 scale_text(next.trace.cell_scale)),
                     "",
                     "Read them one by one, or let `quaycell correct --cell-scale` say what cell "
                     "each hung with."};
    return std::nullopt;
}

/// Appends `from`, of `count` readings, to a column that has `held` so far; either may have none.
void append(std::vector<double>& to, const std::vector<double>& from, std::size_t held,
            std::size_t count) {
    if (to.empty() && from.empty()) return;
    to.resize(held, missing_value);
    to.insert(to.end(), from.begin(), from.end());
    to.resize(held + count, missing_value);
}

/// What both rest on: the weaker of each. A due date that readings have passed stays.
void rest_on_both(Trace& whole, const std::optional<LoggerCalibration>& next) {
    auto& both = whole.calibration;
    if (!next) both.reset();
    if (!both) return;
    both->meter.two_temperatures = both->meter.two_temperatures && next->meter.two_temperatures;
    both->meter.instrument_expanded_mv =
        std::max(both->meter.instrument_expanded_mv, next->meter.instrument_expanded_mv);
    both->at = std::min(both->at, next->at);
    if (whole.time.back() <= both->due) both->due = next->due;
}

void append(Trace& whole, TracePart part) {
    Trace& next = part.trace;
    const std::size_t held = whole.time.size(), count = next.time.size();
    if (held > 0) {
        whole.joints.push_back({held, std::move(part.what)});
        rest_on_both(whole, next.calibration);
    } else {
        whole.calibration = next.calibration;
    }
    for (Joint& joint : next.joints)
        whole.joints.push_back({held + joint.first, std::move(joint.what)});
    for (const auto column :
         {&Trace::potential_mv, &Trace::cell_b_mv, &Trace::ac_mv, &Trace::temperature_c,
          &Trace::salinity_psu, &Trace::source_ohm, &Trace::battery_mv})
        append(whole.*column, next.*column, held, count);
    if (!whole.quality.empty() || !next.quality.empty()) {
        whole.quality.resize(held, Quality::good);
        whole.quality.insert(whole.quality.end(), next.quality.begin(), next.quality.end());
        whole.quality.resize(held + count, Quality::good);
    }
    whole.time.insert(whole.time.end(), next.time.begin(), next.time.end());
    std::ranges::move(next.events, std::back_inserter(whole.events));
    whole.cell_scale = next.cell_scale;
    whole.ended = std::move(next.ended);
}

} // namespace

Result<Trace> joined(std::vector<TracePart> parts) {
    std::erase_if(parts, [](const TracePart& part) { return part.trace.time.empty(); });
    std::ranges::stable_sort(parts, {}, [](const TracePart& p) { return p.trace.time.front(); });
    for (std::size_t i = 1; i < parts.size(); ++i)
        if (auto error = do_not_join(parts[i - 1], parts[i])) return *error;
    Trace whole;
    for (TracePart& part : parts)
        append(whole, std::move(part));
    std::ranges::stable_sort(whole.events, {}, &Event::time);
    return whole;
}

} // namespace quaycell

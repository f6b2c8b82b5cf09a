#include "judging/trace_window.h"

#include <algorithm>
#include <CLI/CLI.hpp>
#include <fmt/format.h>

namespace quaycell {

void add_window_options(CLI::App& command, WindowOptions& options) {
    command
        .add_option("--from", options.from,
                    "Only the readings from this time on: 2026-05-04T06:00:00Z or with an offset, "
                    "2026-05-04T08:00:00+02:00")
        ->type_name("TIME");
    command.add_option("--to", options.to, "Only the readings up to this time")->type_name("TIME");
}

namespace {

Result<std::optional<Instant>> time_typed(const std::string& text, const char* option) {
    if (text.empty()) return std::optional<Instant>();
    const auto time = parse_instant(text);
    if (time) return std::optional(*time);
    Error error = time.error();
    error.code = ErrorCode::wrong_usage;
    error.where = option;
    return error;
}

/// The first reading that is not before `time`; for `after`, that is after it.
std::size_t row_at(const Column<Instant>& times, Instant time, bool after) {
    std::size_t low = 0;
    std::size_t high = times.size();
    while (low < high) {
        const std::size_t middle = low + (high - low) / 2;
        if (times[middle] < time || (after && times[middle] == time))
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

template <typename Value>
void cut(Column<Value>& column, std::size_t first, std::size_t count) {
    if (column.empty()) return;
    column = Column<Value>(count, [whole = column, first](std::size_t row, std::span<Value> out) {
        whole.read(first + row, out);
    });
}

void cut(std::vector<Joint>& joints, std::size_t first, std::size_t count) {
    std::erase_if(joints, [&](const Joint& joint) {
        return joint.first <= first || joint.first >= first + count;
    });
    for (Joint& joint : joints)
        joint.first -= first;
}

} // namespace

Result<std::optional<Window>> window_from(const WindowOptions& options) {
    const auto from = time_typed(options.from, "--from");
    if (!from) return from.error();
    const auto to = time_typed(options.to, "--to");
    if (!to) return to.error();
    if (!*from && !*to) return std::optional<Window>();
    if (*from && *to && **from >= **to)
        return Error{ErrorCode::wrong_usage, "--to is not later than --from", options.to,
                     "Give the earlier time first."};
    return std::optional(Window{*from, *to});
}

Result<Readings> within(const Readings& trace, const Window& window) {
    const std::size_t first = window.from ? row_at(trace.time, *window.from, false) : 0;
    const std::size_t end = window.to ? row_at(trace.time, *window.to, true) : trace.time.size();
    std::string words;
    if (window.from) words += " from " + to_text(*window.from);
    if (window.to) words += " to " + to_text(*window.to);
    if (first >= end) {
        const std::string all = trace.time.empty() ? "it holds none at all"
                                                   : fmt::format("its readings go from {} to {}",
                                                                 to_text(trace.time.front()),
                                                                 to_text(trace.time.back()));
        return Error{ErrorCode::wrong_usage, fmt::format("there is no reading{}", words),
                     trace.name, fmt::format("Ask for another time: {}.", all)};
    }
    const std::size_t count = end - first;
    Readings part = trace;
    part.name += ", only" + words;
    cut(part.time, first, count);
    cut(part.potential_mv, first, count);
    cut(part.cell_b_mv, first, count);
    cut(part.ac_mv, first, count);
    cut(part.temperature_c, first, count);
    cut(part.salinity_psu, first, count);
    cut(part.source_ohm, first, count);
    cut(part.battery_mv, first, count);
    cut(part.quality, first, count);
    cut(part.sequence, first, count);
    cut(part.joints, first, count);
    const auto is_outside = [&window](Instant time) {
        return (window.from && time < *window.from) || (window.to && time > *window.to);
    };
    std::erase_if(part.events, [&](const Event& event) { return is_outside(event.time); });
    if (part.ended && is_outside(part.ended->time)) part.ended.reset();
    return part;
}

} // namespace quaycell

#include "cli/live_format.h"

#include "cli/nmea_sentences.h"
#include "cli/signalk_delta.h"
#include "judging/json_text.h"
#include "series/trace_csv.h"

#include <array>
#include <boost/json.hpp>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {

namespace {

struct FormatName {
    LiveFormat format;
    std::string_view name;
};
constexpr std::array names{FormatName{LiveFormat::words, "words"},
                           FormatName{LiveFormat::csv, "csv"}, FormatName{LiveFormat::json, "json"},
                           FormatName{LiveFormat::nmea0183, "nmea0183"},
                           FormatName{LiveFormat::signalk, "signalk"}};

std::string words(const LiveView& view) {
    const LiveLine& line = view.latest;
    const std::string verdict = fmt::format("{}{}{}", name_of(line.judgement.verdict),
                                            view.words.doubt.empty() ? "" : ", ", view.words.doubt);
    std::string text = fmt::format(
        "{}  {:8.1f} mV on {}  {:8.1f} mV on agcl/seawater, within {:.0f} mV  {}  water {:.1f} "
        "degC  battery {:.2f} V{}",
        to_text(std::chrono::floor<std::chrono::seconds>(line.time)), line.potential_mv,
        name_of(view.cell_scale), line.standard_mv, line.expanded_uncertainty_mv, verdict,
        line.temperature_c, line.battery_mv / 1000, line.recorded ? "  recorded" : "");
    if (view.display_scale != Scale::agcl_seawater)
        text += fmt::format("  {:.1f} mV on {}, within {:.0f} mV", line.display_mv,
                            name_of(view.display_scale), line.display_expanded_mv);
    if (!std::isnan(line.ac_mv))
        text += fmt::format("  AC {}{:.0f} mV",
                            has(line.quality, Quality::ac_clipped) ? "at least " : "", line.ac_mv);
    if (line.quality != Quality::good) text += "  " + to_text(line.quality);
    if (!line.lead_words.empty()) text += "  " + line.lead_words;
    return text + '\n';
}

/// The trace of this one reading, which `judge --trace` reads.
std::string trace_csv(const LiveView& view) {
    const LiveLine& line = view.latest;
    Trace trace;
    trace.cell_scale = view.cell_scale;
    trace.time = {line.time};
    trace.potential_mv = {line.potential_mv};
    trace.cell_b_mv = {line.cell_b_mv};
    trace.ac_mv = {line.ac_mv};
    trace.temperature_c = {line.temperature_c};
    trace.source_ohm = {line.source_ohm};
    trace.battery_mv = {line.battery_mv};
    trace.quality = {line.quality};
    return write_trace_csv(trace, std::array{line.standard_mv});
}

std::size_t header_size(const std::string& csv) {
    return csv.find('\n') + 1;
}

} // namespace

Result<LiveFormat> live_format_named(std::string_view name) {
    std::vector<std::string_view> known;
    for (const FormatName& each : names) {
        if (each.name == name) return each.format;
        known.push_back(each.name);
    }
    return Error{ErrorCode::wrong_usage, fmt::format("there is no format \"{}\"", name), "--format",
                 fmt::format("They are: {}.", fmt::join(known, ", "))};
}

bool tells_loggers_apart(LiveFormat format) {
    return format != LiveFormat::csv && format != LiveFormat::nmea0183;
}

std::string live_greeting(LiveFormat format, const LiveView& first) {
    if (format == LiveFormat::signalk) return signalk_meta(first.device, first.latest.time);
    if (format != LiveFormat::csv) return "";
    const std::string csv = trace_csv(first);
    return csv.substr(0, header_size(csv));
}

std::string live_text(LiveFormat format, const LiveView& view, bool names_logger) {
    switch (format) {
    case LiveFormat::words:
        return (names_logger ? view.device + "  " : "") + words(view);
    case LiveFormat::csv: {
        const std::string csv = trace_csv(view);
        return csv.substr(header_size(csv));
    }
    case LiveFormat::json:
        return to_line(live_view_json(view));
    case LiveFormat::nmea0183:
        return fmt::format("{}", fmt::join(nmea_sentences(view), ""));
    case LiveFormat::signalk:
        return signalk_delta(view);
    }
    return "";
}

} // namespace quaycell

#include "base/rounding.h"
#include "diagnosis/next_to_nothing.h"
#include "diagnosis/practice.h"
#include "judging/criteria_text.h"
#include "judging/live_watch.h"
#include "judging/water_json.h"
#include "survey/settled.h"

#include <algorithm>
#include <cmath>
#include <fmt/chrono.h>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// The row whose verdict is that of the judgement; the hull's before others.
const RowJudgement* deciding(const Judgement& judgement) {
    const auto row = std::ranges::find(judgement.rows, judgement.verdict, &RowJudgement::verdict);
    if (row != judgement.rows.end()) return &*row;
    return judgement.rows.empty() ? nullptr : &judgement.rows.front();
}

std::string why_none(const LiveView& view) {
    const Judgement& judgement = view.shown.judgement;
    if (!judgement.reasons.empty()) return judgement.reasons.front();
    const Quality quality = view.shown.quality;
    if (has(quality, Quality::lead_not_good)) return view.shown.lead_words;
    if (has(quality, Quality::converter_fault))
        return "the logger's converter does not answer; it needs repair";
    if (has(quality, Quality::saturated))
        return "the reading is beyond the logger's range: look at leads and cell";
    if (view.shown.lead == LeadState::unknown)
        return "cell and leads have not been looked at yet, some seconds";
    if (has(quality, Quality::unsettled)) return "the electronics settle, some seconds";
    if (has(quality, Quality::uncalibrated))
        return "the logger has not been compared with an instrument (quaycell calibrate)";
    return "the reading cannot be put on agcl/seawater in this water";
}

/// "+0.4"; what rounds to nothing is "+0.0".
std::string change_text(double change_mv) {
    return fmt::format("{:+.1f}", rounded_to(change_mv, 1) + 0.0);
}

std::string reading_words(const LiveView& view) {
    const ReadingSettling& reading = view.reading;
    if (!view.shows_metal) return "none that shows the metal";
    if (reading.settled)
        return fmt::format("settled: {} within {:g} mV", reading.readings, settled_within_mv);
    if (reading.readings < settled_readings)
        return fmt::format("settling, {} of {} readings", reading.readings, settled_readings);
    return fmt::format("NOT settled: within {:.1f} mV", reading.spread_mv);
}

std::string cell_words(const CellSettling& cell) {
    const double watch_min = cell_watch_s / 60;
    if (std::isnan(cell.drift_mv))
        return fmt::format("watched {:.0f} s of {:g} min", cell.watched_s, watch_min);
    const std::string drift =
        fmt::format("{} mV in {:g} min", change_text(cell.drift_mv), watch_min);
    if (cell.settled) return "settled: " + drift;
    if (cell.watched_s < cell_watch_s)
        return fmt::format("so far {} ({:.0f} s)", drift, cell.watched_s);
    return "NOT settled: " + drift;
}

std::string leads_words(const LiveLine& line) {
    if (!line.lead_words.empty()) return line.lead_words;
    if (line.lead == LeadState::unknown) return "not looked at yet";
    return fmt::format("{}, {:.1f} kohm, seen {:.0f} s ago", name_of(line.lead),
                       line.source_ohm / 1000, line.looked_ago_s);
}

std::string ac_words(const LiveAc& ac) {
    if (std::isnan(ac.last_mv)) return "not measured yet";
    const std::string now =
        fmt::format("{}{:.0f} mV rms", ac.at_least ? "at least " : "", ac.last_mv);
    return ac.is_danger() ? danger_words(ac) + "; now " + now : now;
}

/// The verdict of a reading that may go on to change is none to act on.
std::string doubt_words(const LiveView& view) {
    if (view.shown.judgement.rows.empty()) return "";
    if (next_to_nothing(view.shown.potential_mv, view.cell_scale))
        return "next to nothing is measured: look at clip, leads and cell";
    if (!view.reading.settled) return "reading not settled";
    return view.cell.settled ? "" : "cell not settled";
}

/// The temperature as measured, where it is; else as the judging takes it.
std::string water_words(const LiveLine& line, Water water) {
    if (!std::isnan(line.temperature_c)) {
        water.temperature_c = line.temperature_c;
        water.temperature_assumed = false;
    }
    std::string words = to_text(water);
    if (water.salinity_assumed) words += ", assumed";
    if (water.temperature_assumed) words += ", temperature assumed";
    return words;
}

std::string battery_words(const LiveLine& line) {
    if (std::isnan(line.battery_mv)) return "not measured";
    return fmt::format("{:.2f} V{}", line.battery_mv / 1000,
                       has(line.quality, Quality::low_battery) ? ", LOW" : "");
}

std::string shore_words(const std::optional<ShoreSaid>& shore) {
    if (!shore) return "nobody has said";
    std::string words = fmt::format("{} since {:%H:%M:%S}Z", name_of(shore->cord),
                                    std::chrono::floor<std::chrono::seconds>(shore->at));
    if (!std::isnan(shore->change_mv))
        words += fmt::format(", changed by {} mV", change_text(shore->change_mv));
    return words;
}

} // namespace

std::string danger_words(const LiveAc& ac) {
    const auto [mv, at] = ac.too_high ? std::pair{ac.highest_mv, ac.highest_at}
                                      : std::pair{ac.perhaps_mv, ac.perhaps_at};
    return fmt::format("{}TOO HIGH: {:.0f} mV rms at {:%H:%M:%S}Z, {:g} is the limit{}",
                       ac.too_high ? "" : "PERHAPS ", mv,
                       std::chrono::floor<std::chrono::seconds>(at), practice("ac-stop"),
                       ac.too_high ? "" : "; or the lead is open, which hums");
}

LiveWords words_of(const LiveView& view, const Water& water) {
    const LiveLine& line = view.shown;
    LiveWords words;
    words.verdict = name_of(line.judgement.verdict);
    words.doubt = doubt_words(view);
    const RowJudgement* row = deciding(line.judgement);
    if (row == nullptr) {
        words.limit = why_none(view);
    } else {
        words.limit = fmt::format("{}: {}", row->criterion.subject, band_text(row->criterion));
        words.source = source_text(row->criterion);
    }
    words.reading = reading_words(view);
    words.cell = cell_words(view.cell);
    words.leads = leads_words(view.latest);
    words.ac = ac_words(view.ac);
    words.water = water_words(view.latest, water);
    words.battery = battery_words(view.latest);
    words.shore = shore_words(view.shore);
    return words;
}

} // namespace quaycell

#include "report/survey_tables.h"

#include "chart/axis.h"
#include "report/report_parts.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

std::string off_hull_text(const PointResult& result) {
    if (!result.off_hull_mv) return "";
    const double off_mv = std::round(*result.off_hull_mv);
    return fmt::format("{}{} mV{}", off_mv > 0 ? "+" : "", number_text(off_mv + 0.0, 0),
                       result.bond == Bond::differs ? ", differs" : "");
}

/// To a tenth: whether a reading has settled is a matter of 2 mV.
std::string spread_text(std::optional<double> spread_mv) {
    return spread_mv ? fmt::format("{:.1f} mV", *spread_mv) : "not known";
}

std::string count_and_spread(const PointResult& result) {
    if (result.readings.size() == 1) return "1, " + spread_text(result.spread_mv);
    return fmt::format("{}, {}", result.readings.size(), spread_text(result.spread_mv));
}

bool is_struck(const Survey& survey, const SurveyEntry& entry) {
    return std::ranges::any_of(survey.entries, [&](const SurveyEntry& each) {
        return each.kind == EntryKind::strike && each.about == entry.number;
    });
}

std::string standing_of(const Survey& survey, const SurveyEntry& entry) {
    std::string text = !entry.spread_mv ? "typed in"
                       : entry.settled  ? "settled"
                                        : "not settled: taken all the same";
    if (entry.kind == EntryKind::reference)
        text = fmt::format("reference instrument, beside {}", entry.about);
    if (is_struck(survey, entry)) text += "; struck";
    return text;
}

} // namespace

std::string as_read(double mv) {
    return std::isfinite(mv) ? number_text(mv, 0) + " mV" : "not known";
}

std::string state_text(SurveyState state) {
    return fmt::format("{}, anodes {}", name_of(state.shore), name_of(state.anodes));
}

Table points_table(const SurveyAssessment& assessment) {
    Table table{"The points, pass by pass: the median of the readings at each, and the spread of "
                "them, from the highest to the lowest (of one reading, within it)",
                {{"Point", 0.16},
                 {"Metal", 0.14},
                 {"Shore power, anodes", 0.16},
                 {"Against the cell", 0.1, Anchor::end},
                 {"Readings, spread", 0.11, Anchor::end},
                 {"On agcl/seawater", 0.1, Anchor::end},
                 {"From the hull", 0.1, Anchor::end},
                 {"Verdict", 0.13}},
                {}};
    for (const PointResult& result : assessment.points) {
        const bool settled = std::ranges::all_of(
            result.readings, [](const SurveyEntry* reading) { return reading->settled; });
        table.rows.push_back(
            {result.point->name + (settled ? "" : " (not settled)"),
             result.point->metal.empty() ? std::string(name_of(result.point->role))
                                         : result.point->metal,
             state_text(result.state), as_read(result.potential_mv), count_and_spread(result),
             millivolts(result.judgement.potential_mv, result.judgement.expanded_uncertainty_mv),
             off_hull_text(result), std::string(name_of(result.judgement.verdict))});
    }
    return table;
}

Table readings_table(const Survey& survey, const Zone& zone) {
    Table table{"Every reading, in the order in which they were taken",
                {{"Entry", 0.06},
                 {"Time", 0.24},
                 {"Point", 0.17},
                 {"Shore power, anodes", 0.16},
                 {"Against the cell", 0.09, Anchor::end},
                 {"Spread within", 0.08, Anchor::end},
                 {"AC, rms", 0.09, Anchor::end},
                 {"Settled", 0.11}},
                {}};
    for (const SurveyEntry& entry : survey.entries) {
        if (entry.kind != EntryKind::reading && entry.kind != EntryKind::reference) continue;
        const bool own = entry.kind == EntryKind::reading;
        table.rows.push_back({std::to_string(entry.number), to_words(entry.at, zone), entry.point,
                              state_text(entry.state), as_read(entry.potential_mv),
                              own ? spread_text(entry.spread_mv) : "",
                              entry.ac_mv ? fmt::format("{:.0f} mV", *entry.ac_mv) : "not measured",
                              standing_of(survey, entry)});
    }
    return table;
}

Table remarks_table(const Survey& survey, const Zone& zone) {
    Table table{"Left out, struck and noted",
                {{"Entry", 0.07},
                 {"Time", 0.24},
                 {"Point", 0.13},
                 {"What", 0.14},
                 {"In the words of the walk", 0.42}},
                {}};
    for (const SurveyEntry& entry : survey.entries) {
        if (entry.kind == EntryKind::reading || entry.kind == EntryKind::finish ||
            entry.kind == EntryKind::reference)
            continue;
        const std::string what = entry.kind == EntryKind::strike
                                     ? fmt::format("entry {} struck", entry.about)
                                     : std::string(name_of(entry.kind));
        table.rows.push_back(
            {std::to_string(entry.number), to_words(entry.at, zone), entry.point, what,
             entry.kind == EntryKind::state ? state_text(entry.state) : entry.text});
    }
    return table;
}

} // namespace quaycell

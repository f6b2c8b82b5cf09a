#include "judging/survey_log.h"

#include <algorithm>

namespace quaycell {

Result<Done> SurveyLog::put(SurveyEntry& entry, std::vector<std::uint8_t> live_readings) {
    const auto number =
        archive_.put_survey_entry(kept_.row.number, row_of(entry, std::move(live_readings)));
    if (!number) return number.error();
    entry.number = *number;
    kept_.survey.entries.push_back(entry);
    return Done{};
}

Result<Done> SurveyLog::put(const SurveyPoint& point) {
    const auto put = archive_.put_survey_point(kept_.row.number, row_of(point));
    if (put) kept_.survey.points.push_back(point);
    return put;
}

const SurveyEntry* SurveyLog::last_reading() const {
    const auto& entries = kept_.survey.entries;
    const auto is_struck = [&](const SurveyEntry& reading) {
        return std::ranges::any_of(entries, [&](const SurveyEntry& entry) {
            return entry.kind == EntryKind::strike && entry.about == reading.number;
        });
    };
    for (auto entry = entries.rbegin(); entry != entries.rend(); ++entry)
        if (entry->kind == EntryKind::reading && !is_struck(*entry)) return &*entry;
    return nullptr;
}

Result<JudgedSurvey> SurveyLog::judged(const BoatOptions& boat) {
    const auto checks = archive_.cell_checks();
    if (!checks) return checks.error();
    return judge_survey(kept_, boat, *checks);
}

} // namespace quaycell

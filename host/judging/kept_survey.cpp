#include "judging/kept_survey.h"

#include "judging/live_point.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

Result<SurveyPoint> point_from(const SurveyPointRow& row) {
    const auto role = point_role_named(row.role);
    if (!role) return role.error();
    SurveyPoint point{row.name, *role, row.metal, {}};
    if (row.side.empty()) return point;
    const auto side = hull_side_named(row.side);
    if (!side) return side.error();
    point.place = HullPlace{row.forward_share, *side};
    return point;
}

Result<SurveyEntry> entry_from(const SurveyEntryRow& row) {
    const auto kind = entry_kind_named(row.kind);
    if (!kind) return kind.error();
    const auto shore = shore_cord_named(row.shore);
    if (!shore) return shore.error();
    const auto anodes = anodes_named(row.anodes);
    if (!anodes) return anodes.error();
    SurveyEntry entry{row.number,       row.at,        *kind,       row.point, {*shore, *anodes},
                      row.potential_mv, row.spread_mv, row.settled, {},        row.about,
                      row.text};
    if (row.ac_mv >= 0) entry.ac_mv = row.ac_mv;
    return entry;
}

Instant calibrated_at(const LoggerFacts& facts) {
    return facts.calibration ? from_unix_s(facts.calibration->unix_s) : Instant::min();
}

/// As it was calibrated then; else as it was first. Null where there is none.
const LoggerFacts* logger_at(const std::vector<LoggerFacts>& loggers, Instant at) {
    const LoggerFacts* found = nullptr;
    for (const LoggerFacts& each : loggers)
        if (found == nullptr || calibrated_at(each) <= at) found = &each;
    return found;
}

/// With every calibration that its readings need; none where the archive knows nothing of it.
std::vector<LoggerFacts> loggers_of(Archive& archive, const SurveyRow& row,
                                    const std::vector<SurveyEntryRow>& entries) {
    std::vector<LoggerFacts> loggers;
    const auto add = [&](Instant at) {
        const auto logger = archive.logger(row.device, at);
        if (!logger) return;
        const LoggerFacts facts{logger->device, logger->circuit, logger->calibration};
        if (loggers.empty() || calibrated_at(loggers.back()) != calibrated_at(facts))
            loggers.push_back(facts);
    };
    if (row.device == 0) return loggers;
    add(row.begun_at);
    for (const SurveyEntryRow& entry : entries)
        if (!entry.live_readings.empty()) add(entry.at);
    return loggers;
}

Error without_meaning(Error error, const std::string& where) {
    return {ErrorCode::damaged, "the survey holds a word without a meaning: " + error.what, where,
            "A later version of this program may have written it."};
}

} // namespace

Result<KeptSurvey> survey_from(SurveyRow row, const std::vector<SurveyPointRow>& points,
                               const std::vector<SurveyEntryRow>& entries,
                               std::vector<LoggerFacts> loggers, const std::string& where) {
    KeptSurvey kept{std::move(row), {}, std::move(loggers), {}};
    const auto travel = cell_travel_named(kept.row.cell_travel);
    if (!travel) return without_meaning(travel.error(), where);
    const auto scale = scale_named(kept.row.cell_scale);
    if (!scale) return without_meaning(scale.error(), where);
    kept.survey.cell_travel = *travel;
    kept.survey.cell_scale = *scale;
    if (kept.row.input_resistance_mohm > 0)
        kept.survey.input_resistance_mohm = kept.row.input_resistance_mohm;
    for (const SurveyPointRow& each : points) {
        auto point = point_from(each);
        if (!point) return without_meaning(point.error(), where);
        kept.survey.points.push_back(std::move(point).value());
    }
    for (const SurveyEntryRow& each : entries) {
        auto entry = entry_from(each);
        if (!entry) return without_meaning(entry.error(), where);
        if (!kept.survey.entries.empty() && each.number <= kept.survey.entries.back().number)
            return Error{ErrorCode::damaged,
                         fmt::format("entry {} does not come after entry {}", each.number,
                                     kept.survey.entries.back().number),
                         where, "Entries have rising numbers, each its own."};
        if (kept.row.device == 0) entry->spread_mv.reset(); // a number that was typed in has none
        kept.survey.entries.push_back(std::move(entry).value());
        const LoggerFacts* const logger = logger_at(kept.loggers, each.at);
        if (logger == nullptr) continue;
        const auto point = point_of(live_readings_in(each.live_readings), *logger);
        if (!point) continue;
        SurveyEntry& made = kept.survey.entries.back();
        made.potential_mv = point->value.potential_mv;
        made.spread_mv = point->value.spread_mv;
        if (point->temperature_c) kept.temperature_c = point->temperature_c;
    }
    return kept;
}

Result<KeptSurvey> load_survey(Archive& archive, std::int64_t number,
                               const std::string& archive_file) {
    auto rows = archive.surveys();
    if (!rows) return rows.error();
    if (rows->empty())
        return Error{ErrorCode::not_found, "the archive holds no survey", archive_file,
                     "Walk one: quaycell survey --archive FILE --vessel FILE."};
    const auto found =
        number == 0 ? rows->end() - 1 : std::ranges::find(*rows, number, &SurveyRow::number);
    if (found == rows->end())
        return Error{ErrorCode::not_found, fmt::format("there is no survey {}", number),
                     archive_file, fmt::format("It holds surveys 1 to {}.", rows->back().number)};
    const auto points = archive.survey_points(found->number);
    if (!points) return points.error();
    const auto entries = archive.survey_entries(found->number);
    if (!entries) return entries.error();
    return survey_from(*found, *points, *entries, loggers_of(archive, *found, *entries),
                       fmt::format("{}, survey {}", archive_file, found->number));
}

SurveyPointRow row_of(const SurveyPoint& point) {
    SurveyPointRow row{point.name, std::string(name_of(point.role)), point.metal, "", 0};
    if (point.place) {
        row.side = name_of(point.place->side);
        row.forward_share = point.place->forward;
    }
    return row;
}

SurveyEntryRow row_of(const SurveyEntry& entry, std::vector<std::uint8_t> live_readings) {
    return {entry.number,
            entry.at,
            std::string(name_of(entry.kind)),
            entry.point,
            std::string(name_of(entry.state.shore)),
            std::string(name_of(entry.state.anodes)),
            entry.potential_mv,
            entry.spread_mv.value_or(0),
            entry.settled,
            entry.ac_mv.value_or(-1),
            entry.about,
            entry.text,
            std::move(live_readings)};
}

} // namespace quaycell

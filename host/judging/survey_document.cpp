#include "judging/survey_document.h"

#include "judging/hex_text.h"
#include "judging/json_fields.h"
#include "judging/json_text.h"

#include <algorithm>
#include <boost/json.hpp>
#include <exception>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

json::object head_json(const SurveyRow& row) {
    return {{"number", row.number},
            {"begun_ms", ms_of(row.begun_at)},
            {"boat", row.boat},
            {"author", row.author},
            {"device", row.device},
            {"instrument", row.instrument},
            {"input_resistance_mohm", row.input_resistance_mohm},
            {"reference_instrument", row.reference_instrument},
            {"cell_scale", row.cell_scale},
            {"cell_serial", row.cell_serial},
            {"cell_travel", row.cell_travel},
            {"criterion", row.criterion}};
}

SurveyRow head_from(const json::value& value) {
    return {value.at("number").to_number<std::int64_t>(),
            instant_of(value.at("begun_ms")),
            text_of(value.at("boat")),
            text_of(value.at("author")),
            value.at("device").to_number<std::uint32_t>(),
            text_of(value.at("instrument")),
            finite_of(value.at("input_resistance_mohm")),
            text_of(value.at("reference_instrument")),
            text_of(value.at("cell_scale")),
            text_of(value.at("cell_serial")),
            text_of(value.at("cell_travel")),
            text_of(value.at("criterion"))};
}

json::object point_json(const SurveyPointRow& row) {
    return {{"name", row.name},
            {"role", row.role},
            {"metal", row.metal},
            {"side", row.side},
            {"forward_share", row.forward_share}};
}

SurveyPointRow point_from(const json::value& value) {
    return {text_of(value.at("name")), text_of(value.at("role")), text_of(value.at("metal")),
            text_of(value.at("side")), finite_of(value.at("forward_share"))};
}

json::object entry_json(const SurveyEntryRow& row) {
    return {{"number", row.number},
            {"at_ms", ms_of(row.at)},
            {"kind", row.kind},
            {"point", row.point},
            {"shore", row.shore},
            {"anodes", row.anodes},
            {"potential_mv", row.potential_mv},
            {"spread_mv", row.spread_mv},
            {"settled", row.settled},
            {"ac_mv", row.ac_mv},
            {"about", row.about},
            {"text", row.text},
            {"live_readings_hex", hex_text(row.live_readings)}};
}

SurveyEntryRow entry_from(const json::value& value) {
    return {value.at("number").to_number<std::int64_t>(),
            instant_of(value.at("at_ms")),
            text_of(value.at("kind")),
            text_of(value.at("point")),
            text_of(value.at("shore")),
            text_of(value.at("anodes")),
            finite_of(value.at("potential_mv")),
            finite_of(value.at("spread_mv")),
            value.at("settled").as_bool(),
            finite_of(value.at("ac_mv")),
            value.at("about").to_number<std::int64_t>(),
            text_of(value.at("text")),
            bytes_in(value.at("live_readings_hex").as_string())};
}

json::value logger_json(const LoggerFacts& logger) {
    return json::object{{"device", logger.device_id},
                        {"circuit_hex", hex_of(logger.circuit)},
                        {"calibration_hex", logger.calibration
                                                ? json::value(hex_of(*logger.calibration))
                                                : json::value(nullptr)}};
}

LoggerFacts logger_from(const json::value& value) {
    LoggerFacts logger{value.at("device").to_number<std::uint32_t>(),
                       from_hex<wire::Circuit>(value.at("circuit_hex").as_string()),
                       {}};
    if (const json::value& calibration = value.at("calibration_hex"); !calibration.is_null())
        logger.calibration = from_hex<wire::Calibration>(calibration.as_string());
    return logger;
}

template <typename Row, typename ToJson>
json::array list_of(const std::vector<Row>& rows, const ToJson& to_json) {
    json::array list;
    for (const Row& row : rows)
        list.push_back(to_json(row));
    return list;
}

template <typename FromJson>
auto rows_of(const json::value& list, const FromJson& from_json) {
    std::vector<decltype(from_json(list))> rows;
    for (const json::value& each : list.as_array())
        rows.push_back(from_json(each));
    return rows;
}

/// Struck readings tell something, too; without any there is nothing to report.
bool is_empty(const Survey& survey) {
    return std::ranges::none_of(survey.entries, [](const SurveyEntry& entry) {
        return entry.kind == EntryKind::reading || entry.ac_mv;
    });
}

} // namespace

Result<std::optional<std::int64_t>> newest_survey(Archive& archive, const std::string& boat) {
    const auto surveys = archive.surveys();
    if (!surveys) return surveys.error();
    for (auto row = surveys->rbegin(); row != surveys->rend(); ++row) {
        if (row->boat != boat) continue;
        const auto kept = load_survey(archive, row->number, row->boat);
        if (!kept) return kept.error();
        if (is_finished(kept->survey) && !is_empty(kept->survey)) return std::optional{row->number};
    }
    return std::optional<std::int64_t>{};
}

Result<std::string> survey_document(Archive& archive, std::int64_t number,
                                    const std::string& archive_file) {
    const auto kept = load_survey(archive, number, archive_file);
    if (!kept) return kept.error();
    if (!is_finished(kept->survey))
        return Error{
            ErrorCode::refused, fmt::format("survey {} is not finished", number), archive_file,
            "Finish it: quaycell survey --resume, and type finish. More may still be read."};
    if (is_empty(kept->survey))
        return Error{ErrorCode::refused, fmt::format("in survey {} nothing was read", number),
                     archive_file, "Walk another one."};
    const auto points = archive.survey_points(number);
    if (!points) return points.error();
    const auto entries = archive.survey_entries(number);
    if (!entries) return entries.error();
    return to_document(json::object{{"survey", head_json(kept->row)},
                                    {"loggers", list_of(kept->loggers, logger_json)},
                                    {"points", list_of(*points, point_json)},
                                    {"entries", list_of(*entries, entry_json)}});
}

Result<KeptSurvey> parse_survey_document(std::string_view document, const std::string& where) {
    try {
        const json::value read = json::parse(document);
        return survey_from(head_from(read.at("survey")), rows_of(read.at("points"), point_from),
                           rows_of(read.at("entries"), entry_from),
                           rows_of(read.at("loggers"), logger_from), where);
    } catch (const std::exception& error) { // how the library says that it is another document
        return Error{ErrorCode::wrong_input, error.what(), where, ""};
    }
}

} // namespace quaycell

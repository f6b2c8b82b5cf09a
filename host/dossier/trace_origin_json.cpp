#include "dossier/trace_origin.h"
#include "judging/hex_text.h"
#include "judging/json_fields.h"
#include "judging/json_text.h"

#include <boost/json.hpp>
#include <exception>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

template <typename Number>
Number number_of(const json::value& value) {
    return value.to_number<Number>(); // throws where it does not fit
}

json::value logger_json(const std::optional<LoggerRow>& logger) {
    if (!logger) return nullptr;
    return json::object{{"device", logger->device},
                        {"first_seen_ms", ms_of(logger->first_seen)},
                        {"firmware_version", logger->firmware_version},
                        {"firmware_build", logger->firmware_build},
                        {"circuit_hex", hex_of(logger->circuit)},
                        {"calibration_hex", logger->calibration
                                                ? json::value(hex_of(*logger->calibration))
                                                : nullptr}};
}

std::optional<LoggerRow> logger_from(const json::value& value) {
    if (value.is_null()) return std::nullopt;
    LoggerRow logger{number_of<std::uint32_t>(value.at("device")),
                     instant_of(value.at("first_seen_ms")),
                     number_of<std::uint16_t>(value.at("firmware_version")),
                     number_of<std::uint32_t>(value.at("firmware_build")),
                     from_hex<wire::Circuit>(value.at("circuit_hex").as_string()),
                     {}};
    if (const json::value& calibration = value.at("calibration_hex"); !calibration.is_null())
        logger.calibration = from_hex<wire::Calibration>(calibration.as_string());
    return logger;
}

json::object correction_json(const CorrectionRow& row) {
    const CorrectedPart& part = row.part;
    return {{"number", row.number},
            {"imported", part.first.imported},
            {"whose", part.first.whose},
            {"boot", part.first.boot},
            {"first_sequence", part.first.first_sequence},
            {"last_sequence", part.last_sequence},
            {"from_start", part.from_start},
            {"to_end", part.to_end},
            {"kind", row.kind},
            {"value", row.value},
            {"from_ms", ms_of(row.from)},
            {"to_ms", ms_of(row.to)},
            {"why", row.why},
            {"author", row.author},
            {"written_at_ms", ms_of(row.written_at)}};
}

CorrectionRow correction_from(const json::value& value) {
    return {number_of<std::int64_t>(value.at("number")),
            {{value.at("imported").as_bool(), number_of<std::int64_t>(value.at("whose")),
              number_of<std::uint16_t>(value.at("boot")),
              number_of<std::uint32_t>(value.at("first_sequence"))},
             number_of<std::uint32_t>(value.at("last_sequence")),
             value.at("from_start").as_bool(),
             value.at("to_end").as_bool()},
            text_of(value.at("kind")),
            text_of(value.at("value")),
            instant_of(value.at("from_ms")),
            instant_of(value.at("to_ms")),
            text_of(value.at("why")),
            text_of(value.at("author")),
            instant_of(value.at("written_at_ms"))};
}

json::object check_json(const CellCheckRow& check) {
    return {{"cell", check.cell},
            {"at_ms", ms_of(check.at)},
            {"against", check.against},
            {"difference_mv", check.difference_mv},
            {"finding", check.finding},
            {"author", check.author},
            {"written_at_ms", ms_of(check.written_at)}};
}

CellCheckRow check_from(const json::value& value) {
    return {text_of(value.at("cell")),
            instant_of(value.at("at_ms")),
            text_of(value.at("against")),
            finite_of(value.at("difference_mv")),
            text_of(value.at("finding")),
            text_of(value.at("author")),
            instant_of(value.at("written_at_ms"))};
}

json::object note_json(const Note& note) {
    return {{"device", note.device},
            {"at_ms", ms_of(note.at)},
            {"text", note.text},
            {"author", note.author},
            {"written_at_ms", ms_of(note.written_at)}};
}

Note note_from(const json::value& value) {
    return {number_of<std::uint32_t>(value.at("device")), instant_of(value.at("at_ms")),
            text_of(value.at("text")), text_of(value.at("author")),
            instant_of(value.at("written_at_ms"))};
}

json::object part_json(const OriginPart& part) {
    json::array spent;
    for (const SequenceRange& range : part.spent)
        spent.push_back({range.first, range.count});
    json::array corrections;
    for (const CorrectionRow& row : part.corrections)
        corrections.push_back(correction_json(row));
    return {{"number", part.number}, {"origin", part.origin},
            {"file", part.file},     {"logger", logger_json(part.logger)},
            {"spent", spent},        {"corrections", corrections}};
}

OriginPart part_from(const json::value& value) {
    OriginPart part;
    part.number = number_of<std::uint32_t>(value.at("number"));
    part.origin = text_of(value.at("origin"));
    part.file = text_of(value.at("file"));
    part.logger = logger_from(value.at("logger"));
    for (const json::value& range : value.at("spent").as_array())
        part.spent.push_back(
            {number_of<std::uint32_t>(range.at(0)), number_of<std::uint32_t>(range.at(1))});
    for (const json::value& row : value.at("corrections").as_array())
        part.corrections.push_back(correction_from(row));
    return part;
}

TraceOrigin origin_from(const json::value& value) {
    TraceOrigin origin;
    origin.name = text_of(value.at("name"));
    origin.is_archive = value.at("archive").as_bool();
    origin.read_as = value.at("corrected").as_bool() ? ReadAs::corrected : ReadAs::recorded;
    for (const json::value& part : value.at("parts").as_array())
        origin.parts.push_back(part_from(part));
    for (const json::value& check : value.at("cell_checks").as_array())
        origin.cell_checks.push_back(check_from(check));
    for (const json::value& remark : value.at("remarks").as_array())
        origin.remarks.push_back(text_of(remark));
    for (const json::value& note : value.at("notes").as_array())
        origin.notes.push_back(note_from(note));
    return origin;
}

} // namespace

std::string origin_document(const TraceOrigin& origin) {
    json::array parts;
    for (const OriginPart& part : origin.parts)
        parts.push_back(part_json(part));
    json::array checks;
    for (const CellCheckRow& check : origin.cell_checks)
        checks.push_back(check_json(check));
    json::array notes;
    for (const Note& note : origin.notes)
        notes.push_back(note_json(note));
    return to_document(
        json::object{{"name", origin.name},
                     {"archive", origin.is_archive},
                     {"corrected", origin.read_as == ReadAs::corrected},
                     {"parts", parts},
                     {"cell_checks", checks},
                     {"remarks", json::array(origin.remarks.begin(), origin.remarks.end())},
                     {"notes", notes}});
}

Result<TraceOrigin> parse_origin(std::string_view document) {
    try {
        return origin_from(json::parse(document));
    } catch (const std::exception& error) { // how the library says that it is another document
        return Error{
            ErrorCode::wrong_input,
            fmt::format("this does not say how the readings are to be read: {}", error.what()),
            "origin.json", "Ask for the report as it was sent first."};
    }
}

} // namespace quaycell

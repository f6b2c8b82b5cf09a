#include "judging/anode_document.h"

#include "judging/json_fields.h"
#include "judging/json_text.h"

#include <boost/json.hpp>
#include <exception>

namespace quaycell {

namespace {

namespace json = boost::json;

json::object entry_json(const AnodeEntryRow& row) {
    return {{"number", row.number},
            {"at_ms", ms_of(row.at)},
            {"kind", row.kind},
            {"boat", row.boat},
            {"place", row.place},
            {"alloy", row.alloy},
            {"mass_kg", row.mass_kg},
            {"about", row.about},
            {"text", row.text},
            {"author", row.author},
            {"written_at_ms", ms_of(row.written_at)}};
}

AnodeEntryRow entry_from(const json::value& value) {
    return {value.at("number").to_number<std::int64_t>(),
            instant_of(value.at("at_ms")),
            text_of(value.at("kind")),
            text_of(value.at("boat")),
            text_of(value.at("place")),
            text_of(value.at("alloy")),
            finite_of(value.at("mass_kg")),
            value.at("about").to_number<std::int64_t>(),
            text_of(value.at("text")),
            text_of(value.at("author")),
            instant_of(value.at("written_at_ms"))};
}

} // namespace

std::string anode_document(const AnodeDocument& log) {
    json::array entries;
    for (const AnodeEntryRow& row : log.entries)
        entries.push_back(entry_json(row));
    return to_document(json::object{{"boat", log.boat}, {"entries", entries}});
}

Result<AnodeDocument> parse_anode_document(std::string_view document, const std::string& where) {
    try {
        const json::value read = json::parse(document);
        AnodeDocument log{text_of(read.at("boat")), {}};
        for (const json::value& each : read.at("entries").as_array())
            log.entries.push_back(entry_from(each));
        return log;
    } catch (const std::exception& error) { // how the library says that it is another document
        return Error{ErrorCode::wrong_input,
                     std::string("this is no log of anodes: ") + error.what(), where,
                     "Ask for the report as it was sent first."};
    }
}

} // namespace quaycell

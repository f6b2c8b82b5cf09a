#include "dossier/report_files.h"

#include <algorithm>
#include <iterator>

namespace quaycell {

namespace {

struct Kind {
    std::string_view name; ///< or its beginning
    const char* media_type;
    const char* description;
};
constexpr Kind kinds[] = {
    {source_name, "text/csv", "The readings as they were given."},
    {records_name, "application/octet-stream", "The logger's records, verbatim, 32 bytes each."},
    {imported_name, "text/csv", "The readings as they were imported."},
    {vessel_name, "application/toml", "The boat."},
    {criteria_name, "application/toml", "Criteria of the user's."},
    {budget_name, "application/toml", "The user's budget."},
    {inspection_name, "application/toml", "What people said."},
    {signer_name, "application/x-pem-file", "The public key of who signed the list."},
    {signature_name, "application/octet-stream", "The signature of the list, Ed25519."},
    {origin_name, "application/json",
     "How the readings are to be read: loggers, corrections, cell checks."},
    {survey_name, "application/json", "The survey, entry by entry, with the logger's raw codes."},
    {anodes_name, "application/json", "The log of the anodes, entry by entry."},
    {options_name, "application/json",
     "With what the report was made: program, options, clocks, fonts."},
    {trace_name, "text/csv", "The trace as it was judged."},
    {judgement_name, "application/json", "All that was computed."},
    {survey_judgement_name, "application/json", "All that was computed of the survey."},
    {anodes_judgement_name, "application/json", "All that was computed of the anodes."},
};

} // namespace

bool is_name_of_report(std::string_view name) {
    return name == manifest_name || std::ranges::any_of(kinds, [&](const Kind& kind) {
               return kind.name.ends_with('-') ? name.starts_with(kind.name) : name == kind.name;
           });
}

Attachment described(std::string name, FileBytes bytes) {
    const auto* const kind =
        std::ranges::find_if(kinds, [&](const Kind& each) { return name.starts_with(each.name); });
    if (kind == std::end(kinds)) return {std::move(name), "", "", std::move(bytes)};
    return {std::move(name), kind->media_type, kind->description, std::move(bytes)};
}

} // namespace quaycell

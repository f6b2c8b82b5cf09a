// What a report is made from, read from where it lies.
#include "cli/files.h"
#include "cli/json_text.h"
#include "cli/key_files.h"
#include "cli/report_making.h"

#include <boost/json.hpp>

namespace quaycell {

namespace {

namespace json = boost::json;

Result<std::string> options_document(const std::vector<std::string>& said) {
    const auto drawn = drawing_fingerprint();
    if (!drawn) return drawn;
    return to_document(
        json::object{{"options", json::array(said.begin(), said.end())}, {"drawn_with", *drawn}});
}

} // namespace

Result<ReportSources> sources_of(const ReportOptions& options,
                                 const std::vector<std::string>& said) {
    auto gathered = gather_trace(options.trace);
    if (!gathered) return gathered.error();
    ReportSources sources{std::move(gathered->origin), std::move(gathered->files)};
    const std::pair<const std::string&, const char*> by_hand[] = {
        {options.boat.vessel_file, vessel_name},
        {options.boat.criteria_file, criteria_name},
        {options.boat.budget_file, budget_name},
        {options.inspection_file, inspection_name}};
    for (const auto& [path, name] : by_hand) {
        if (path.empty()) continue;
        auto text = read_file(path);
        if (!text) return text.error();
        sources.files.push_back(described(name, std::move(*text)));
    }
    if (!options.key_file.empty()) {
        const auto key = read_secret_key(options.key_file);
        if (!key) return key.error();
        sources.files.push_back(described(signer_name, to_pem(public_key_of(*key))));
    }
    auto said_too = options_document(said);
    if (!said_too) return said_too.error();
    sources.files.push_back(described(origin_name, origin_document(sources.origin)));
    sources.files.push_back(described(options_name, std::move(*said_too)));
    return sources;
}

} // namespace quaycell

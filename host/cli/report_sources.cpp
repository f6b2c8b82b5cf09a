// What a report is made from, read from where it lies.
#include "cli/report_making.h"

namespace quaycell {

Result<ReportSources> sources_of(ReportOptions& options, std::vector<std::string> said,
                                 const std::optional<PublicKey>& signer) {
    auto gathered = gather_trace(options.trace);
    if (!gathered) return gathered.error();
    ReportSources sources{std::move(gathered->origin),
                          std::move(gathered->files),
                          {program_version(), std::move(said), clock_now(), {}, ""}};
    for (const auto& [name, file] : files_by_hand(options)) {
        if (!file->is_given()) continue;
        auto text = file->read();
        if (!text) return text.error();
        file->bytes = *text;
        sources.files.push_back(described(name, std::move(*text)));
    }
    if (signer) sources.files.push_back(described(signer_name, to_pem(*signer)));
    sources.files.push_back(described(origin_name, origin_document(sources.origin)));
    return sources;
}

} // namespace quaycell

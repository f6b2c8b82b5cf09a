// What a report is made from, read from where it lies.
#include "dossier/report_making.h"
#include "judging/survey_document.h"

namespace quaycell {

namespace {

/// The survey of the boat that the vessel file names, where the archive holds a finished one.
Result<Done> add_survey(const ReportOptions& options, std::vector<Attachment>& files) {
    if (options.trace.archive_file.empty() || !options.boat.vessel_file.is_given()) return Done{};
    const auto criteria = criteria_from(options.boat.criteria_file);
    if (!criteria) return criteria.error();
    const auto vessel = load_vessel(options.boat.vessel_file, *criteria);
    if (!vessel) return vessel.error();
    auto archive = Archive::open(options.trace.archive_file, OpenMode::read);
    if (!archive) return archive.error();
    auto survey = survey_document(*archive, vessel->name);
    if (!survey) return survey.error();
    if (*survey) files.push_back(described(survey_name, std::move(**survey)));
    return Done{};
}

} // namespace

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
    if (const auto added = add_survey(options, sources.files); !added) return added.error();
    sources.files.push_back(described(origin_name, origin_document(sources.origin)));
    return sources;
}

} // namespace quaycell

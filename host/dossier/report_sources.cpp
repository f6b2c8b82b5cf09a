// What a report is made from, read from where it lies.
#include "dossier/report_making.h"

#include "judging/anode_document.h"
#include "judging/anode_entries.h"
#include "judging/archive_contents.h"
#include "judging/date_to_come.h"
#include "judging/survey_document.h"

#include <filesystem>
#include <fmt/format.h>

namespace quaycell {

namespace {

Result<std::optional<Vessel>> vessel_of(const ReportOptions& options) {
    if (!options.boat.vessel_file.is_given()) return std::optional<Vessel>{};
    const auto criteria = criteria_from(options.boat.criteria_file);
    if (!criteria) return criteria.error();
    auto vessel = load_vessel(options.boat.vessel_file, *criteria);
    if (!vessel) return vessel.error();
    return std::optional{std::move(*vessel)};
}

/// The survey that is asked for; else that of the boat that the vessel file names, where the
/// archive holds a finished one.
Result<Done> add_survey(Archive& archive, const ReportOptions& options,
                        const std::optional<Vessel>& vessel, std::vector<Attachment>& files) {
    std::optional<std::int64_t> number;
    if (options.survey != 0) number = options.survey;
    if (!number && vessel) {
        const auto newest = newest_survey(archive, vessel->name);
        if (!newest) return newest.error();
        number = *newest;
    }
    if (!number) return Done{};
    auto survey = survey_document(archive, *number, options.trace.archive_file);
    if (!survey) return survey.error();
    files.push_back(described(survey_name, std::move(*survey)));
    return Done{};
}

/// The log of the anodes of the boat that the vessel file names, else of the survey's; nothing
/// where the archive holds none.
Result<Done> add_anodes(Archive& archive, const ReportOptions& options,
                        const std::optional<Vessel>& vessel, std::vector<Attachment>& files) {
    AnodeDocument log{vessel ? vessel->name : "", {}};
    if (!vessel && options.survey != 0) {
        const auto kept = load_survey(archive, options.survey, options.trace.archive_file);
        if (!kept) return kept.error();
        log.boat = kept->row.boat;
    }
    const auto rows = archive.anode_entries();
    if (!rows) return rows.error();
    if (log.boat.empty()) log.boat = only_boat(*rows); // another may come into the archive
    log.entries = entries_of_boat(*rows, log.boat);
    if (!log.entries.empty()) files.push_back(described(anodes_name, anode_document(log)));
    return Done{};
}

/// What the archive knows besides a survey that is reported alone.
Result<GatheredTrace> gather_survey(Archive& archive, const ReportOptions& options,
                                    const std::optional<Vessel>& vessel) {
    const std::string& file = options.trace.archive_file;
    const auto kept = load_survey(archive, options.survey, file);
    if (!kept) return kept.error();
    if (vessel && vessel->name != kept->row.boat)
        return Error{ErrorCode::refused,
                     fmt::format("survey {} is of {}, not of {}", options.survey,
                                 kept->row.boat.empty() ? "a boat without a name" : kept->row.boat,
                                 vessel->name),
                     file, "Give the vessel file of that boat, or another survey."};
    auto origin = origin_of_survey(archive, kept->row.device, file);
    if (!origin) return origin.error();
    return GatheredTrace{std::move(*origin), {}, {}};
}

/// Where many bytes wait: beside the report; where it is to be no file, in the computer's own
/// place.
std::filesystem::path waiting_beside(const std::string& output) {
    std::error_code failure;
    if (!output.empty()) return output;
    return std::filesystem::temp_directory_path(failure) / "quaycell-report";
}

} // namespace

Result<ReportSources> sources_of(ReportOptions& options, std::vector<std::string> said,
                                 const std::optional<PublicKey>& signer) {
    for (const auto& [name, file] : files_by_hand(options)) {
        if (!file->is_given()) continue;
        auto text = file->read();
        if (!text) return text.error();
        file->bytes = std::move(*text);
    }
    const Instant now = clock_now();
    const auto vessel = vessel_of(options);
    if (!vessel) return vessel.error();
    if (*vessel)
        if (auto error = date_to_come(**vessel, now, options.boat.vessel_file.path)) return *error;
    const std::string& archive_file = options.trace.archive_file;
    if (options.survey != 0 && archive_file.empty())
        return Error{ErrorCode::wrong_usage, "surveys are kept in archives", "--survey",
                     "Give --archive FILE."};
    const MakeFileTaker takers =
        options.survey != 0 ? MakeFileTaker() : file_takers(waiting_beside(options.output));
    // Opened once, so that trace and survey are of the same state of it.
    std::optional<ReadArchive> read;
    if (!archive_file.empty()) {
        auto opened = read_archive(archive_file, takers);
        if (!opened) return opened.error();
        read.emplace(std::move(*opened));
    }
    auto gathered = options.survey != 0 ? gather_survey(read->archive, options, *vessel)
                    : read              ? gather_trace(*read, options.trace, takers)
                                        : gather_trace(options.trace, takers);
    if (!gathered) return gathered.error();
    ReportSources sources{std::move(gathered->origin),
                          {},
                          std::nullopt,
                          {program_version(), std::move(said), now, {}, ""}};
    if (options.survey == 0) sources.whole = std::move(gathered->whole);
    for (const TakenFile& taken : gathered->files) {
        auto bytes = taken.taker->bytes();
        if (!bytes) return bytes.error();
        sources.files.push_back(described(taken.name, std::move(*bytes)));
    }
    for (const auto& [name, file] : files_by_hand(options))
        if (file->is_given()) sources.files.push_back(described(name, *file->bytes));
    if (signer) sources.files.push_back(described(signer_name, to_pem(*signer)));
    if (read)
        if (const auto added = add_survey(read->archive, options, *vessel, sources.files); !added)
            return added.error();
    if (read)
        if (const auto added = add_anodes(read->archive, options, *vessel, sources.files); !added)
            return added.error();
    sources.files.push_back(described(origin_name, origin_document(sources.origin)));
    return sources;
}

} // namespace quaycell

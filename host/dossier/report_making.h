// A report from its sources: the same whether they come from files and an archive, or out of a
// report that was made before.
#pragma once

#include "dossier/made_with.h"
#include "dossier/report_files.h"
#include "dossier/report_options.h"
#include "dossier/trace_origin.h"
#include "evidence/manifest.h"
#include "evidence/signature.h"
#include "protection/verdict.h"

namespace quaycell {

enum class ReportFormat { pdf, html };

/// By the ending of the report's name. Error: wrong_usage.
Result<ReportFormat> format_of_report(const std::string& output);

/// By what it begins with, whatever the file is called.
ReportFormat format_of_bytes(std::string_view report);

struct ReportSources {
    TraceOrigin origin;
    std::vector<Attachment> files; ///< all that goes with the report but for what is computed
    /// What was read with them; else it is read out of them.
    std::optional<SourcedTrace> whole;
    /// Zone and fonts are empty until a report is made: they are then taken as they are here.
    MadeWith with;
};

/// Reads all that the options name, and keeps in the options what files written by hand hold.
/// `said`: as said_options() tells. `signer`: who is to sign, if anybody.
Result<ReportSources> sources_of(ReportOptions& options, std::vector<std::string> said,
                                 const std::optional<PublicKey>& signer);

struct MadeReport {
    std::vector<Attachment> attachments; ///< the sources' files, then what was computed
    std::string manifest;                ///< of them
    std::string page;                    ///< HTML, or a PDF without attachments
    std::size_t readings;
    Verdict overall;
    MadeWith here; ///< what it would have been made with here, were nothing stated
};

/// The same sources and files of the options give the same bytes.
Result<MadeReport> make_report(const ReportOptions& options, ReportFormat format,
                               const ReportSources& sources);

struct PackedReport {
    std::string bytes;              ///< the file
    std::vector<Attachment> beside; ///< what does not go into it
};

/// The page with its evidence: in a PDF as far as it may grow, beside an HTML file. `signature`: of
/// the list of the attachments, or empty.
Result<PackedReport> packed(const MadeReport& made, ReportFormat format,
                            const std::string& signature);

} // namespace quaycell

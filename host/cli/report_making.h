// A report from its sources: the same whether they come from files and an archive, or out of a
// report that was made before.
#pragma once

#include "cli/report_files.h"
#include "cli/report_options.h"
#include "cli/trace_origin.h"
#include "evidence/manifest.h"
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
};

/// Reads all that the options name. `said`: as said_options() tells.
Result<ReportSources> sources_of(const ReportOptions& options,
                                 const std::vector<std::string>& said);

struct MadeReport {
    std::vector<Attachment> attachments; ///< the sources' files, then what was computed
    std::string manifest;                ///< of them
    std::string page;                    ///< HTML, or a PDF without attachments
    std::size_t readings;
    Verdict overall;
};

/// The options' own files (vessel, criteria, budget) are read once more. The same sources give the
/// same bytes.
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

/// Tells one set of drawing libraries and fonts from another: the same for the same.
Result<std::string> drawing_fingerprint();

} // namespace quaycell

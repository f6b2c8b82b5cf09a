// What the making of a report of a trace and of a survey have in common.
#pragma once

#include "dossier/report_making.h"
#include "judging/anode_document.h"
#include "judging/judged_survey.h"
#include "report/pages.h"
#include "report/surveyor_report.h"

#include <functional>

namespace quaycell {

/// What people said, who signs, and what of survey and anodes goes with the report.
struct ReportGrounds {
    Inspection inspection;
    std::string signer; ///< fingerprint of the key; empty: nobody signs
    std::optional<JudgedSurvey> survey;
    std::optional<AnodeDocument> anodes; ///< their log, where it goes with the report
};

/// All that is on the pages, but for what is known of the files only when they are listed.
struct ReportContent {
    ReportFacts facts;
    std::vector<Attachment> computed; ///< that go along
    MadeWith with;                    ///< what is stated
    std::vector<ZoneStretch> zone_here;
    Instant last; ///< of the readings
    std::size_t readings;
    Verdict overall;
};

/// Calls `finish` with the content while what it refers to lasts.
using FinishReport = std::function<Result<MadeReport>(ReportContent)>;

/// `listed_sources`: the list of the sources' files, which takes a while to hash.
Result<MadeReport> report_of_trace(const ReportOptions& options, const ReportSources& sources,
                                   const ReportGrounds& grounds, const std::string& listed_sources,
                                   const TextWidth& text_width, const FinishReport& finish);
Result<MadeReport> report_of_survey(const ReportOptions& options, const ReportSources& sources,
                                    const ReportGrounds& grounds, const TextWidth& text_width,
                                    const FinishReport& finish);

/// What the report tells of its survey.
ReportedSurvey reported(const JudgedSurvey& walked, const Zone& zone, double width_mm,
                        const TextWidth& text_width);

/// All that was computed of it, as a file.
Attachment computed_of(const JudgedSurvey& walked);

const PageSize& paper_of(const ReportOptions& options);

/// Zone of a report, as it is stated; else that of this computer's tables, which is then stated.
/// `here`: what these say, nothing where they know no such zone.
struct ReportZone {
    Zone zone;
    std::vector<ZoneStretch> here;
};
Result<ReportZone> zone_of_report(const FigureOptions& options, Instant first, Instant last,
                                  MadeWith& with);

} // namespace quaycell

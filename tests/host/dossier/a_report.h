// Reports made here, without files: of a few readings, with whatever clock and program.
#pragma once

#include "dossier/compute_again.h"
#include "dossier/report_making.h"
#include "evidence/pdf_attachments.h"

namespace quaycell::test {

inline constexpr const char* few_readings = "time,potential_mv,cell_scale\r\n"
                                            "2026-05-04T06:00:00Z,-1000,agcl/open\r\n"
                                            "2026-05-04T06:01:00Z,-1001,agcl/open\r\n"
                                            "2026-05-04T06:02:00Z,-1002,agcl/open\r\n";

inline Instant instant(const char* text) {
    return parse_instant(text).value();
}

/// Made by this program of these readings.
inline ReportSources sources_of_readings(std::vector<std::string> said = {"--hull=steel"},
                                         std::optional<Instant> clock = std::nullopt) {
    OriginPart part;
    part.file = source_name;
    TraceOrigin origin;
    origin.name = "week.csv";
    origin.parts = {part};
    return {origin,
            {described(source_name, few_readings), described(origin_name, origin_document(origin))},
            std::nullopt,
            {program_version(), std::move(said), clock, {}, ""}};
}

/// A PDF report, with what it carries.
struct AReport {
    std::string bytes;
    PdfEvidence evidence;
};

inline AReport report_of(const ReportSources& sources) {
    const auto options = parse_said_options(sources.with.said, options_name).value();
    const auto made = make_report(options, ReportFormat::pdf, sources).value();
    std::string bytes = packed(made, ReportFormat::pdf, "").value().bytes;
    auto evidence = evidence_in(bytes, "week.pdf").value();
    return {std::move(bytes), std::move(evidence)};
}

inline const std::string& bytes_of(const AReport& report, const char* name) {
    return named(report.evidence.attachments, name)->bytes.at_hand();
}

} // namespace quaycell::test

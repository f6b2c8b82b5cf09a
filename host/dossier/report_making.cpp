#include "dossier/report_making.h"

#include "chart/render_pdf.h"
#include "chart/text.h"
#include "chart/text_width.h"
#include "dossier/drawing_fingerprint.h"
#include "dossier/figure.h"
#include "dossier/instrument_facts.h"
#include "dossier/report_content.h"
#include "evidence/companions.h"
#include "evidence/pdf_attachments.h"
#include "evidence/signature.h"
#include "judging/survey_document.h"
#include "report/html.h"
#include "report/pages.h"

#include <algorithm>
#include <filesystem>
#include <span>

namespace quaycell {

namespace {

Result<Inspection> inspection_in(const GivenFile& file) {
    if (!file.is_given()) return Inspection{};
    const auto text = file.read();
    if (!text) return text.error();
    return parse_inspection(*text, file.path);
}

/// The fingerprint of the key that the report is signed with; empty where nobody signs.
Result<std::string> signer_in(const std::vector<Attachment>& files) {
    const Attachment* const file = named(files, signer_name);
    if (file == nullptr) return std::string();
    const auto key = parse_public_key(file->bytes.at_hand(), signer_name);
    if (!key) return key.error();
    return fingerprint(*key);
}

/// The log of the anodes that goes with the report, where there is one.
Result<std::optional<AnodeDocument>> anode_log_in(const std::vector<Attachment>& files) {
    const Attachment* const file = named(files, anodes_name);
    if (file == nullptr) return std::optional<AnodeDocument>{};
    auto log = parse_anode_document(file->bytes.at_hand(), anodes_name);
    if (!log) return log.error();
    return std::optional(std::move(*log));
}

/// The survey that goes with the report, where there is one.
Result<std::optional<JudgedSurvey>> survey_in(const ReportSources& sources,
                                              const ReportOptions& options,
                                              const Inspection& inspection) {
    const Attachment* const file = named(sources.files, survey_name);
    if (file == nullptr) return std::optional<JudgedSurvey>{};
    auto kept = parse_survey_document(file->bytes.at_hand(), survey_name);
    if (!kept) return kept.error();
    BoatOptions boat = options.boat;
    if (options.survey != 0) { // else it is a trace that the stated meter has taken
        auto meter = meter_of(*kept, inspection.instrument, options.inspection_file.path);
        if (!meter) return meter.error();
        boat.meter = *meter;
    }
    auto judged = judge_survey(std::move(kept).value(), boat, sources.origin.cell_checks);
    if (!judged) return judged.error();
    return std::optional{std::move(judged).value()};
}

Result<ReportGrounds> grounds_of(const ReportOptions& options, const ReportSources& sources) {
    ReportGrounds grounds;
    auto inspection = inspection_in(options.inspection_file);
    if (!inspection) return inspection.error();
    grounds.inspection = std::move(*inspection);
    auto signer = signer_in(sources.files);
    if (!signer) return signer.error();
    grounds.signer = std::move(*signer);
    auto survey = survey_in(sources, options, grounds.inspection);
    if (!survey) return survey.error();
    grounds.survey = std::move(*survey);
    auto anodes = anode_log_in(sources.files);
    if (!anodes) return anodes.error();
    grounds.anodes = std::move(*anodes);
    return grounds;
}

Result<std::string> page_of(const Document& document, ReportFormat format, const PageSize& size,
                            Instant dated, const TextWidth& text_width) {
    if (format == ReportFormat::html) return to_html(document);
    return render_pdf(set_pages(document, size, text_width),
                      {clean_text(document.title), clean_text(document.subtitle), dated});
}

/// When a PDF says that it was made: the day of the report, else the last reading. The clock would
/// make it another file each time.
struct Dated {
    Instant at;
    std::string by; ///< in words
};
Dated dated(const Inspection& inspection, Instant last) {
    if (!inspection.date.empty())
        if (const auto day = parse_instant(inspection.date + "T00:00:00Z"))
            return {*day, "the beginning of the day of the report, in UTC"};
    return {last, "that of the last reading, for nobody stated the date of the report"};
}

/// What was listed before is not hashed again.
Result<MadeReport> finished(ReportContent content, const ReportOptions& options,
                            ReportFormat format, const ReportSources& sources,
                            const std::string& listed_sources, const TextWidth& text_width) {
    ReportFacts& facts = content.facts;
    const Dated date = dated(facts.inspection, content.last);
    facts.dated_by = date.by;
    // The files: what draws is told among them, and has to be known before they are listed.
    auto drawn_here = drawing_fingerprint(font_sample(surveyor_report(facts)));
    if (!drawn_here) return drawn_here.error();
    if (content.with.drawn_with.empty()) content.with.drawn_with = *drawn_here;
    MadeReport made{sources.files, "", "", content.readings, content.overall, {}};
    made.here = {program_version(), {}, {}, std::move(content.zone_here), std::move(*drawn_here)};
    made.attachments.push_back(described(options_name, made_with_document(content.with)));
    std::ranges::move(content.computed, std::back_inserter(made.attachments));
    made.manifest =
        listed_sources + manifest_of(std::span(made.attachments).subspan(sources.files.size()));
    facts.attachments = made.attachments;
    facts.manifest = made.manifest;
    auto page = page_of(surveyor_report(facts), format, paper_of(options), date.at, text_width);
    if (!page) return page.error();
    made.page = std::move(*page);
    return made;
}

} // namespace

const PageSize& paper_of(const ReportOptions& options) {
    return options.paper == letter.name ? letter : a4;
}

Result<ReportZone> zone_of_report(const FigureOptions& options, Instant first, Instant last,
                                  MadeWith& with) {
    auto here = zone_of(options.zone, first, last);
    std::vector<ZoneStretch> stretches = here ? stretches_of(*here) : std::vector<ZoneStretch>();
    if (!with.zone.empty() && options.zone != Zone().name())
        return ReportZone{Zone(options.zone, with.zone), std::move(stretches)};
    if (!here) return here.error();
    with.zone = stretches;
    return ReportZone{std::move(*here), std::move(stretches)};
}

Result<ReportFormat> format_of_report(const std::string& output) {
    const std::string ending = std::filesystem::path(output).extension().string();
    if (ending == ".pdf") return ReportFormat::pdf;
    if (ending == ".html") return ReportFormat::html;
    return Error{ErrorCode::wrong_usage, "the format of the report is not known",
                 output.empty() ? "--output" : output,
                 "Give --output with a name that ends in .pdf or .html."};
}

ReportFormat format_of_bytes(std::string_view report) {
    return report.starts_with("%PDF-") ? ReportFormat::pdf : ReportFormat::html;
}

Result<MadeReport> make_report(const ReportOptions& options, ReportFormat format,
                               const ReportSources& sources) {
    const auto grounds = grounds_of(options, sources);
    if (!grounds) return grounds.error();
    const TextWidth text_width = drawn_text_width();
    const std::string listed_sources = manifest_of(sources.files);
    const auto finish = [&](ReportContent content) {
        return finished(std::move(content), options, format, sources, listed_sources, text_width);
    };
    if (options.survey != 0)
        return report_of_survey(options, sources, *grounds, text_width, finish);
    return report_of_trace(options, sources, *grounds, listed_sources, text_width, finish);
}

Result<PackedReport> packed(const MadeReport& made, ReportFormat format,
                            const std::string& signature) {
    if (format == ReportFormat::html) {
        PackedReport report{made.page, made.attachments};
        report.beside.push_back({manifest_name, "text/plain", "", made.manifest});
        if (!signature.empty()) report.beside.push_back(described(signature_name, signature));
        return report;
    }
    Carried carrying = carried(made.attachments);
    if (!signature.empty()) carrying.inside.push_back(described(signature_name, signature));
    auto pdf = with_evidence(made.page, carrying.inside, made.manifest);
    if (!pdf) return pdf.error();
    return PackedReport{std::move(*pdf), std::move(carrying.beside)};
}

} // namespace quaycell

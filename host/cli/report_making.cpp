#include "cli/report_making.h"

#include "chart/budget_chart.h"
#include "chart/render_pdf.h"
#include "chart/text.h"
#include "chart/text_width.h"
#include "cli/budget_text.h"
#include "cli/correction_text.h"
#include "cli/figure.h"
#include "cli/instrument_facts.h"
#include "cli/json_text.h"
#include "cli/judgement_text.h"
#include "cli/report_facts.h"
#include "diagnosis/advice.h"
#include "evidence/companions.h"
#include "evidence/pdf_attachments.h"
#include "evidence/sha256.h"
#include "evidence/signature.h"
#include "report/html.h"
#include "report/pages.h"
#include "report/surveyor_report.h"
#include "series/trace_csv.h"

#include <algorithm>
#include <boost/json.hpp>
#include <filesystem>

namespace quaycell {

namespace {

Result<Inspection> inspection_in(const std::vector<Attachment>& files) {
    const Attachment* const file = named(files, inspection_name);
    if (file == nullptr) return Inspection{};
    return parse_inspection(file->bytes, inspection_name);
}

/// The fingerprint of the key that the report is signed with; empty where nobody signs.
Result<std::string> signer_in(const std::vector<Attachment>& files) {
    const Attachment* const file = named(files, signer_name);
    if (file == nullptr) return std::string();
    const auto key = parse_public_key(file->bytes, signer_name);
    if (!key) return key.error();
    return fingerprint(*key);
}

/// What the report does not say elsewhere.
std::vector<std::string> not_said_yet(std::vector<std::string> texts,
                                      const std::vector<std::vector<std::string>>& said) {
    for (const auto& each : said)
        std::erase_if(texts, [&](const std::string& text) {
            return std::ranges::find(each, text) != each.end();
        });
    return texts;
}

std::vector<Attachment> computed(const TraceJudgement& judgement) {
    return {described(trace_name, write_trace_csv(whole_trace(judgement.trace),
                                                  judgement.judged.standard_mv.whole())),
            described(judgement_name, to_document(trace_judgement_json(judgement)))};
}

Result<std::string> page_of(const Document& document, ReportFormat format, const PageSize& size,
                            Instant dated, const TextWidth& text_width) {
    if (format == ReportFormat::html) return to_html(document);
    return render_pdf(set_pages(document, size, text_width),
                      {clean_text(document.title), clean_text(document.subtitle), dated});
}

const PageSize& paper_of(const ReportOptions& options) {
    return options.paper == letter.name ? letter : a4;
}

} // namespace

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
    const auto inspection = inspection_in(sources.files);
    if (!inspection) return inspection.error();
    const auto worst_share = worst_share_from(options.worst_share_percent);
    if (!worst_share) return worst_share.error();
    auto whole = trace_from(sources.origin, sources.files);
    if (!whole) return whole.error();
    auto sourced = narrowed(std::move(*whole), options.trace.window);
    if (!sourced) return sourced.error();
    const auto judgement = judge_sourced(std::move(*sourced), options.boat, *worst_share);
    if (!judgement) return judgement.error();
    const auto zone = zone_of(options.figure, judgement->trace);
    if (!zone) return zone.error();
    const auto budget = budget_of_trace(*judgement);
    if (!budget) return budget.error();
    const auto signer = signer_in(sources.files);
    if (!signer) return signer.error();
    const InstrumentFacts instrument = instrument_of(sources.origin, *judgement);

    MadeReport made{sources.files, "", "", judgement->trace.time.size(), judgement->judged.overall};
    std::ranges::move(computed(*judgement), std::back_inserter(made.attachments));
    made.manifest = manifest_of(made.attachments);

    std::vector<std::string> corrections;
    for (const KnownCorrection& correction : judgement->corrections)
        corrections.push_back(correction_text(correction));
    const TextWidth text_width = drawn_text_width();
    const PageSize& size = paper_of(options);
    const Boat& boat = judgement->boat;
    const ReportFacts facts{
        *inspection,
        boat.name,
        boat_facts(boat),
        water_facts(boat.water),
        instrument.entries,
        cell_facts(boat),
        instrument.cell_checks,
        corrections,
        not_said_yet(judgement->reasons,
                     {corrections, instrument.cell_checks, {judgement->judged.trend.why_none}}),
        advice_for(judgement->explained, boat.hull, boat.metals, boat.water),
        cautions_for(judgement->explained, boat.hull, boat.metals, boat.water),
        judgement->trace,
        judgement->judged,
        judgement->explained,
        *budget,
        trace_causes(judgement->judged, in_its_water(boat), boat.cell_scale == Scale::agcl_open),
        *worst_share,
        *zone,
        figure_of(*judgement, size.text_width_mm(), options.figure, *zone, {}, text_width),
        draw_budget(*budget, size.text_width_mm(), text_width),
        made.attachments,
        made.manifest,
        *signer};
    const auto& time = judgement->trace.time;
    auto page = page_of(surveyor_report(facts), format, size,
                        time.empty() ? Instant{} : time.back(), text_width);
    if (!page) return page.error();
    made.page = std::move(*page);
    return made;
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

Result<std::string> drawing_fingerprint() {
    Document sample;
    sample.title = "Sample";
    sample.subtitle = "of what draws";
    sample.sections.push_back(
        {"A heading", {Paragraph{"The quick brown fox jumps over the lazy dog, 0123456789 ± −."}}});
    const auto pdf = page_of(sample, ReportFormat::pdf, a4, Instant{}, drawn_text_width());
    if (!pdf) return pdf;
    const auto whole = with_evidence(*pdf, {}, "");
    if (!whole) return whole;
    return sha256_hex(*whole);
}

} // namespace quaycell

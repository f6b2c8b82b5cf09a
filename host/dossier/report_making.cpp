#include "dossier/report_making.h"

#include "chart/budget_chart.h"
#include "chart/render_pdf.h"
#include "chart/text.h"
#include "chart/text_width.h"
#include "diagnosis/advice.h"
#include "diagnosis/trace_advice.h"
#include "dossier/drawing_fingerprint.h"
#include "dossier/figure.h"
#include "dossier/instrument_facts.h"
#include "dossier/report_facts.h"
#include "evidence/companions.h"
#include "evidence/pdf_attachments.h"
#include "evidence/signature.h"
#include "judging/budget_text.h"
#include "judging/correction_text.h"
#include "judging/json_text.h"
#include "judging/judgement_text.h"
#include "judging/survey_document.h"
#include "report/html.h"
#include "report/pages.h"
#include "report/surveyor_report.h"
#include "series/trace_csv.h"

#include <algorithm>
#include <boost/json.hpp>
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
    const auto key = parse_public_key(file->bytes, signer_name);
    if (!key) return key.error();
    return fingerprint(*key);
}

/// The program's own words. Those of people are left as they are: corrections are told by parts.
std::vector<std::string> shown_in(std::vector<std::string> texts, const Zone& zone) {
    for (std::string& text : texts)
        text = with_times_in(text, zone);
    return texts;
}

std::vector<TraceCause> shown_in(std::vector<TraceCause> causes, const Zone& zone) {
    for (TraceCause& cause : causes) {
        cause.speaks_for = shown_in(std::move(cause.speaks_for), zone);
        cause.speaks_against = shown_in(std::move(cause.speaks_against), zone);
    }
    return causes;
}

/// The survey that goes with the report, where there is one.
Result<std::optional<JudgedSurvey>> survey_in(const ReportSources& sources,
                                              const BoatOptions& boat) {
    const Attachment* const file = named(sources.files, survey_name);
    if (file == nullptr) return std::optional<JudgedSurvey>{};
    auto kept = parse_survey_document(file->bytes, survey_name);
    if (!kept) return kept.error();
    auto judged = judge_survey(std::move(kept).value(), boat, sources.origin.cell_checks);
    if (!judged) return judged.error();
    return std::optional{std::move(judged).value()};
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

/// Of the files of readings, in the order of the origin's parts.
std::vector<ManifestLine> digests_of(const TraceOrigin& origin, const std::string& manifest) {
    std::vector<ManifestLine> found;
    const std::vector<ManifestLine> lines = parse_manifest(manifest).value();
    for (const OriginPart& part : origin.parts) {
        const auto line = std::ranges::find(lines, part.file, &ManifestLine::name);
        if (line != lines.end()) found.push_back(*line);
    }
    return found;
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

/// What the tables of this computer say; nothing where they know no such zone.
std::vector<ZoneStretch> zone_here(const FigureOptions& options, const Readings& trace) {
    const auto zone = zone_of(options.zone, trace);
    return zone ? stretches_of(*zone) : std::vector<ZoneStretch>();
}

/// The one that is stated; else that of this computer's tables, which is then stated.
Result<Zone> zone_of_report(const FigureOptions& options, const Readings& trace, MadeWith& with) {
    if (!with.zone.empty() && options.zone != Zone().name()) return Zone(options.zone, with.zone);
    auto zone = zone_of(options.zone, trace);
    if (zone) with.zone = stretches_of(*zone);
    return zone;
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
    const auto inspection = inspection_in(options.inspection_file);
    if (!inspection) return inspection.error();
    const auto worst_share = worst_share_from(options.worst_share_percent);
    if (!worst_share) return worst_share.error();
    auto whole = trace_from(sources.origin, sources.files);
    if (!whole) return whole.error();
    auto sourced = narrowed(std::move(*whole), options.trace.window);
    if (!sourced) return sourced.error();
    auto meter = meter_of(sources.origin, inspection->instrument, options.inspection_file.path);
    if (!meter) return meter.error();
    BoatOptions boat_options = options.boat;
    boat_options.meter = *meter;
    const auto judgement =
        judge_sourced(std::move(*sourced), boat_options, {*worst_share, {}, sources.with.clock});
    if (!judgement) return judgement.error();
    MadeWith with = sources.with;
    const auto zone = zone_of_report(options.figure, judgement->trace, with);
    if (!zone) return zone.error();
    const auto budget = budget_of_trace(*judgement);
    if (!budget) return budget.error();
    const auto signer = signer_in(sources.files);
    if (!signer) return signer.error();
    const auto survey = survey_in(sources, options.boat);
    if (!survey) return survey.error();
    const InstrumentFacts instrument =
        instrument_of(sources.origin, *judgement, inspection->instrument);

    const std::string listed_sources = manifest_of(sources.files);
    const FigureCaption caption = figure_caption(
        *judgement, *zone, instrument, digests_of(sources.origin, listed_sources), *worst_share);
    std::vector<std::string> said; // in the words of the trace's remarks
    std::vector<std::string> corrections;
    for (const KnownCorrection& correction : judgement->corrections) {
        said.push_back(correction_text(correction));
        corrections.push_back(correction_text(correction, *zone));
    }
    const std::vector<NotedFact> notes = notes_about(sources.origin.notes, judgement->trace);
    const TextWidth text_width = drawn_text_width();
    const PageSize& size = paper_of(options);
    const Boat& boat = judgement->boat;
    ReportFacts facts{
        *inspection,
        boat.name,
        boat_facts(boat),
        water_facts(boat.water),
        instrument.entries,
        cell_facts(boat),
        shown_in(instrument.cell_checks, *zone),
        corrections,
        notes,
        sources.origin.notes.size() - notes.size(),
        shown_in(not_said_yet(judgement->reasons,
                              {said, instrument.cell_checks, {judgement->judged.trend.why_none}}),
                 *zone),
        trace_advice(judgement->judged, judgement->explained, boat.hull, boat.metals, boat.water),
        trace_cautions(judgement->judged, judgement->explained, boat.hull, boat.metals, boat.water),
        judgement->trace,
        judgement->judged,
        judgement->explained,
        *budget,
        shown_in(trace_causes(judgement->judged, in_its_water(boat),
                              boat.cell_scale == Scale::agcl_open),
                 *zone),
        *worst_share,
        *zone,
        figure_of(*judgement, size.text_width_mm(), options.figure, *zone, caption, false,
                  text_width),
        caption.text,
        draw_budget(*budget, size.text_width_mm(), text_width),
        {}, // the files: what draws is told among them, and has to be known before they are listed
        "",
        *signer};
    std::optional<ReportedSurvey> reported;
    if (*survey) {
        const JudgedSurvey& walked = **survey;
        reported.emplace(ReportedSurvey{
            survey_facts(walked, *zone), walked.kept.survey, walked.assessment, walked.findings,
            survey_chart(walked.assessment, size.text_width_mm(), text_width)});
        facts.survey = &*reported;
    }
    auto drawn_here = drawing_fingerprint(font_sample(surveyor_report(facts)));
    if (!drawn_here) return drawn_here.error();
    if (with.drawn_with.empty()) with.drawn_with = *drawn_here;
    if (with.clock && !lies_ahead(judgement->trace, *with.clock)) with.clock.reset();

    const auto& time = judgement->trace.time;
    MadeReport made{sources.files, "", "", time.size(), judgement->judged.overall, {}};
    made.here = {program_version(),
                 {},
                 {},
                 zone_here(options.figure, judgement->trace),
                 std::move(*drawn_here)};
    made.attachments.push_back(described(options_name, made_with_document(with)));
    std::ranges::move(computed(*judgement), std::back_inserter(made.attachments));
    made.manifest =
        listed_sources + manifest_of(std::span(made.attachments).subspan(sources.files.size()));
    facts.attachments = made.attachments;
    facts.manifest = made.manifest;
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

} // namespace quaycell

// A report of a trace, with a survey where there is one.
#include "dossier/report_content.h"

#include "chart/budget_chart.h"
#include "diagnosis/advice.h"
#include "diagnosis/trace_advice.h"
#include "dossier/anodes_report.h"
#include "dossier/figure.h"
#include "dossier/instrument_facts.h"
#include "dossier/report_facts.h"
#include "judging/correction_text.h"
#include "judging/hull_reading.h"
#include "judging/json_text.h"
#include "judging/judgement_text.h"
#include "judging/trace_source.h"
#include "series/trace_csv.h"

#include <algorithm>
#include <boost/json.hpp>
#include <fmt/format.h>

namespace quaycell {

namespace {

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

/// Two to the twentieth rows is what a sheet of the usual spreadsheets holds (common practice, no
/// source); the first has the names of the columns. A longer CSV is of no use to those for whom it
/// goes along, takes longer to write than the rest of the report, and proves nothing: the readings
/// themselves do, and the CSV follows from them.
constexpr std::size_t most_in_csv = (std::size_t{1} << 20U) - 1;

bool fits_csv(const Readings& trace) {
    return trace.time.size() <= most_in_csv;
}

std::string left_out_words(const Readings& trace) {
    if (fits_csv(trace)) return "";
    return fmt::format("The trace as CSV ({}) does not go with this report: its {} readings are "
                       "more than the {} rows that a sheet of a spreadsheet holds. They follow "
                       "from the files above; the command quaycell export writes them from the "
                       "archive, whole or a part of the time.",
                       trace_name, trace.time.size(), most_in_csv + 1);
}

std::vector<Attachment> computed_of_trace(const TraceJudgement& judgement) {
    std::vector<Attachment> files;
    if (fits_csv(judgement.trace))
        files.push_back(
            described(trace_name, write_trace_csv(whole_trace(judgement.trace),
                                                  judgement.judged.standard_mv.whole())));
    files.push_back(described(judgement_name, to_document(trace_judgement_json(judgement))));
    return files;
}

/// The trace of the sources, judged.
Result<TraceJudgement> judged_trace(const ReportOptions& options, const ReportSources& sources,
                                    const Inspection& inspection, double worst_share) {
    auto whole = sources.whole ? *sources.whole : trace_from(sources.origin, sources.files);
    if (!whole) return whole.error();
    auto sourced = narrowed(std::move(*whole), options.trace.window);
    if (!sourced) return sourced.error();
    if (sourced->trace.time.empty())
        return Error{ErrorCode::wrong_input, "there is no reading to report on",
                     sources.origin.name,
                     "Give a trace that holds readings, or report a survey: --survey N."};
    auto meter = meter_of(sources.origin, inspection.instrument, options.inspection_file.path);
    if (!meter) return meter.error();
    BoatOptions boat = options.boat;
    boat.meter = *meter;
    return judge_sourced(std::move(*sourced), boat, {worst_share, {}, sources.with.clock});
}

/// What the trace's reasons are told apart from, in their own words.
std::vector<std::string> correction_words(const TraceJudgement& judgement) {
    std::vector<std::string> words;
    for (const KnownCorrection& correction : judgement.corrections)
        words.push_back(correction_text(correction));
    return words;
}

std::vector<std::string> correction_words(const TraceJudgement& judgement, const Zone& zone) {
    std::vector<std::string> words;
    for (const KnownCorrection& correction : judgement.corrections)
        words.push_back(correction_text(correction, zone));
    return words;
}

std::vector<std::string> cautions_of(const TraceJudgement& judgement,
                                     const std::optional<JudgedSurvey>& survey) {
    const Boat& boat = judgement.boat;
    std::vector<std::string> cautions =
        trace_cautions(judgement.judged, judgement.explained, boat.hull, boat.metals, boat.water);
    if (survey)
        for (std::string& caution : survey_cautions(survey->findings))
            if (std::ranges::find(cautions, caution) == cautions.end())
                cautions.push_back(std::move(caution));
    return cautions;
}

} // namespace

Result<MadeReport> report_of_trace(const ReportOptions& options, const ReportSources& sources,
                                   const ReportGrounds& grounds, const std::string& listed_sources,
                                   const TextWidth& text_width, const FinishReport& finish) {
    const auto worst_share = worst_share_from(options.worst_share_percent);
    if (!worst_share) return worst_share.error();
    const auto judgement = judged_trace(options, sources, grounds.inspection, *worst_share);
    if (!judgement) return judgement.error();
    const auto& time = judgement->trace.time;
    const auto log =
        planned_log(options, grounds, judgement->boat, hull_reading(*judgement), time.back());
    if (!log) return log.error();
    MadeWith with = sources.with;
    auto zoned = zone_of_report(options.figure, time.front(), time.back(), with);
    if (!zoned) return zoned.error();
    const Zone& zone = zoned->zone;
    const auto budget = budget_of_trace(*judgement);
    if (!budget) return budget.error();
    const InstrumentFacts instrument =
        instrument_of(sources.origin, *judgement, grounds.inspection.instrument);
    const FigureCaption caption = figure_caption(
        *judgement, zone, instrument, digests_of(sources.origin, listed_sources), *worst_share);
    const std::vector<NotedFact> notes =
        notes_about(sources.origin.notes, time.front(), time.back());
    const double width_mm = paper_of(options).text_width_mm();
    const Boat& boat = judgement->boat;
    const ReportedTrace trace{
        judgement->trace,
        judgement->judged,
        judgement->explained,
        correction_words(*judgement, zone),
        shown_in(not_said_yet(judgement->reasons, {correction_words(*judgement),
                                                   instrument.cell_checks,
                                                   {judgement->judged.trend.why_none}}),
                 zone),
        trace_advice(judgement->judged, judgement->explained, boat.hull, boat.metals, boat.water),
        shown_in(trace_causes(judgement->judged, in_its_water(boat),
                              boat.cell_scale == Scale::agcl_open),
                 zone),
        *worst_share,
        figure_of(*judgement, width_mm, options.figure, zone, caption, false, text_width),
        caption.text};
    std::optional<ReportedSurvey> survey;
    if (grounds.survey) survey.emplace(reported(*grounds.survey, zone, width_mm, text_width));
    std::optional<ReportedAnodes> anodes;
    if (*log) anodes.emplace(reported(**log, width_mm, text_width));
    ReportFacts facts{grounds.inspection,
                      boat.name,
                      boat_facts(boat),
                      afloat_since(boat),
                      anode_log_words(grounds, sources.origin),
                      water_facts(boat.water),
                      instrument.entries,
                      cell_facts(boat),
                      shown_in(grounds.survey
                                   ? told_of_both(instrument.cell_checks, grounds.survey->remarks)
                                   : instrument.cell_checks,
                               zone),
                      notes,
                      sources.origin.notes.size() - notes.size(),
                      cautions_of(*judgement, grounds.survey),
                      *budget,
                      zone,
                      draw_budget(*budget, width_mm, text_width),
                      {},
                      "",
                      grounds.signer,
                      "",
                      &trace,
                      survey ? &*survey : nullptr,
                      anodes ? &*anodes : nullptr,
                      left_out_words(judgement->trace)};
    if (with.clock && !lies_ahead(judgement->trace, *with.clock)) with.clock.reset();
    std::vector<Attachment> computed = computed_of_trace(*judgement);
    if (grounds.survey) computed.push_back(computed_of(*grounds.survey));
    if (*log) computed.push_back(computed_of(**log));
    return finish({std::move(facts), std::move(computed), std::move(with), std::move(zoned->here),
                   time.back(), time.size(), judgement->judged.overall});
}

} // namespace quaycell

// A report of a survey and of nothing else.
#include "diagnosis/advice.h"
#include "dossier/report_content.h"

#include "chart/budget_chart.h"
#include "dossier/anodes_report.h"
#include "dossier/instrument_facts.h"
#include "dossier/report_facts.h"
#include "judging/hull_reading.h"
#include "judging/json_text.h"

#include <algorithm>
#include <boost/json.hpp>

namespace quaycell {

namespace {

std::size_t readings_in(const Survey& survey) {
    return static_cast<std::size_t>(
        std::ranges::count(survey.entries, EntryKind::reading, &SurveyEntry::kind));
}

/// Of the hull in the first state that it was read in.
Verdict verdict_at_hull(const SurveyAssessment& assessment) {
    const auto hull = std::ranges::find_if(assessment.points, [](const PointResult& result) {
        return result.point->role == PointRole::hull;
    });
    return hull == assessment.points.end() ? Verdict::no_verdict : hull->judgement.verdict;
}

std::string name_of_boat(const JudgedSurvey& walked) {
    return walked.boat.name.empty() ? walked.kept.row.boat : walked.boat.name;
}

} // namespace

ReportedSurvey reported(const JudgedSurvey& walked, const Zone& zone, double width_mm,
                        const TextWidth& text_width) {
    return {survey_facts(walked, zone), walked.kept.survey, walked.assessment, walked.findings,
            survey_charts(walked.assessment, width_mm, text_width)};
}

Attachment computed_of(const JudgedSurvey& walked) {
    return described(survey_judgement_name, to_document(survey_json(walked)));
}

namespace {

/// Hazards that were found, with their place, and then what belongs to the worst verdict at any
/// fitting and to every boat at a dock.
std::vector<std::string> cautions_of(const JudgedSurvey& walked) {
    std::vector<std::string> cautions = survey_cautions(walked.findings);
    const auto add = [&](const Judgement& judgement) {
        for (std::string& each :
             cautions_for(judgement, walked.boat.hull, walked.boat.metals, walked.boat.water))
            if (std::ranges::find(cautions, each) == cautions.end())
                cautions.push_back(std::move(each));
    };
    for (const PointResult& point : walked.assessment.points)
        add(point.judgement);
    if (walked.assessment.points.empty()) add({});
    return cautions;
}

} // namespace

Result<MadeReport> report_of_survey(const ReportOptions& options, const ReportSources& sources,
                                    const ReportGrounds& grounds, const TextWidth& text_width,
                                    const FinishReport& finish) {
    if (!grounds.survey)
        return Error{ErrorCode::damaged, "the survey is missing", survey_name,
                     "Ask for the report as it was sent first."};
    const JudgedSurvey& walked = *grounds.survey;
    const auto log = planned_log(options, grounds, walked.boat, hull_reading(walked), walked.last);
    if (!log) return log.error();
    MadeWith with = sources.with;
    with.clock.reset(); // only what a trace says depends on it
    auto zone = zone_of_report(options.figure, walked.first, walked.last, with);
    if (!zone) return zone.error();
    const double width_mm = paper_of(options).text_width_mm();
    const ReportedSurvey survey = reported(walked, zone->zone, width_mm, text_width);
    const std::vector<NotedFact> notes =
        notes_about(sources.origin.notes, walked.first, walked.last);
    std::optional<ReportedAnodes> anodes;
    if (*log) anodes.emplace(reported(**log, width_mm, text_width));
    std::vector<Attachment> computed{computed_of(walked)};
    if (*log) computed.push_back(computed_of(**log));
    ReportFacts facts{grounds.inspection,
                      name_of_boat(walked),
                      boat_facts(walked.boat),
                      afloat_since(walked.boat),
                      anode_log_words(grounds, sources.origin),
                      water_facts(walked.boat.water),
                      survey_instrument(walked.kept, grounds.inspection.instrument),
                      survey_cell_facts(walked),
                      walked.remarks,
                      notes,
                      sources.origin.notes.size() - notes.size(),
                      cautions_of(walked),
                      walked.budget,
                      zone->zone,
                      draw_budget(walked.budget, width_mm, text_width),
                      {},
                      "",
                      grounds.signer,
                      "",
                      nullptr,
                      &survey,
                      anodes ? &*anodes : nullptr};
    return finish({std::move(facts), std::move(computed), std::move(with), std::move(zone->here),
                   walked.last, readings_in(walked.kept.survey),
                   verdict_at_hull(walked.assessment)});
}

} // namespace quaycell

#include "judging/judged_survey.h"

#include "judging/cell_checks.h"

#include <algorithm>

namespace quaycell {

namespace {

struct TimeOfReadings {
    Instant first;
    Instant last;
};

TimeOfReadings time_of(const KeptSurvey& kept) {
    TimeOfReadings time{kept.row.begun_at, kept.row.begun_at};
    bool any = false;
    for (const SurveyEntry& entry : kept.survey.entries) {
        if (entry.kind != EntryKind::reading) continue;
        if (!any) time.first = entry.at;
        time.last = entry.at;
        any = true;
    }
    return time;
}

/// Of the calibrations that its readings were taken with the one that is known worst: one budget
/// holds for all of them.
std::optional<CalibratedMeter> meter_of(const std::vector<LoggerFacts>& loggers) {
    std::optional<CalibratedMeter> worst;
    for (const LoggerFacts& each : loggers) {
        const auto calibration = calibration_of(each);
        if (!calibration) return std::nullopt;
        if (!worst) worst = calibration->meter;
        worst->two_temperatures = worst->two_temperatures && calibration->meter.two_temperatures;
        worst->instrument_expanded_mv =
            std::max(worst->instrument_expanded_mv, calibration->meter.instrument_expanded_mv);
    }
    return worst;
}

CellComparison comparison_of(const CellCheckRow& check) {
    CellFinding finding = CellFinding::good;
    for (const CellFinding each : {CellFinding::doubtful, CellFinding::rejected})
        if (name_of(each) == check.finding) finding = each;
    return {finding, check.difference_mv, cell_check_text(check), "check-cell"};
}

/// The comparisons closest to the readings, with another cell where there are any: a zinc is not
/// known well enough to show a drift.
CellBeforeAfter compared(const std::vector<CellCheckRow>& checks, const std::string& cell,
                         TimeOfReadings time) {
    CellBeforeAfter found;
    for (const char* against : {"cell", "zinc"}) {
        for (const CellCheckRow& check : checks) {
            if (check.cell != cell || check.against != against) continue;
            if (check.at <= time.first && check.at >= time.first - comparison_counts_for)
                found.before = comparison_of(check);
            if (check.at >= time.last && check.at > time.first && !found.after &&
                check.at <= time.last + comparison_counts_for)
                found.after = comparison_of(check);
            // Halfway through it stands for what is missing at either end.
            if (check.at > time.first && check.at < time.last) {
                if (!found.before)
                    found.before = comparison_of(check);
                else if (!found.after)
                    found.after = comparison_of(check);
            }
        }
        if (found.before || found.after) break;
    }
    return found;
}

/// What a multimeter's own current does is known as soon as its input resistance is.
std::optional<StatedMeter> stated_meter(const KeptSurvey& kept) {
    if (kept.row.device != 0 || !kept.survey.input_resistance_mohm) return std::nullopt;
    return StatedMeter{{}, *kept.survey.input_resistance_mohm, usual_source_kohm};
}

} // namespace

Result<JudgedSurvey> judge_survey(KeptSurvey kept, const BoatOptions& options,
                                  const std::vector<CellCheckRow>& checks) {
    TraceFacts known;
    known.cell_scale = kept.survey.cell_scale;
    known.temperature_c = kept.temperature_c;
    known.meter = meter_of(kept.loggers);
    BoatOptions with_meter = options;
    if (!with_meter.meter) with_meter.meter = stated_meter(kept);
    auto boat = boat_from(with_meter, known);
    if (!boat) return boat.error();
    if (kept.row.cell_serial != boat->cell_serial) boat->cell_last_check.clear(); // of another cell
    const TimeOfReadings time = time_of(kept);
    const CellTrust trust = trust_in(checks, kept.row.cell_serial, time.first, time.last);
    if (trust.check) boat->cell_check = trust.check;
    const auto budget = reading_budget(kept.survey.cell_scale, boat->water,
                                       cell_check_of(*boat, time.first, time.last),
                                       boat->budget_terms, boat->meter);
    if (!budget) return budget.error();
    const SurveyGrounds grounds{
        boat->criteria,
        {boat->hull, boat->metals, boat->rule_set, kept.survey.cell_scale, boat->oxygen, {}},
        boat->water,
        *budget,
        trust.rejected.has_value(),
        survey_limits()};
    JudgedSurvey judged{std::move(kept), *boat,   {},         {},       {},
                        trust.remarks,   *budget, time.first, time.last};
    auto assessment = assess(judged.kept.survey, grounds);
    if (!assessment) return assessment.error();
    judged.assessment = std::move(assessment).value();
    judged.cell = compared(checks, judged.kept.row.cell_serial, time);
    if (trust.rejected) judged.remarks.push_back("no reading is judged: " + *trust.rejected);
    judged.findings = survey_findings(judged.kept.survey, judged.assessment, judged.cell);
    return judged;
}

std::string state_words(SurveyState state) {
    return std::string(name_of(state.shore)) + ", anodes " + std::string(name_of(state.anodes));
}

} // namespace quaycell

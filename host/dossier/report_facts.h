// What a boat, its water and its cell are to a report: names and values.
#pragma once

#include "archive/archive.h"
#include "base/zone.h"
#include "judging/boat.h"
#include "judging/judged_survey.h"
#include "report/surveyor_report.h"

namespace quaycell {

std::vector<Entry> boat_facts(const Boat& boat);
std::vector<Entry> water_facts(const Water& water);
std::vector<Entry> cell_facts(const Boat& boat);

/// "launched 2026-04-01; new anode: shaft 2026-04-02 (vessel file)"; empty where it says nothing.
std::string afloat_since(const Boat& boat);

/// Notes about the time of the readings, or within a day of it.
std::vector<NotedFact> notes_about(const std::vector<Note>& notes, Instant first, Instant last);

/// What compared the cell of the trace and the cell of the survey, each said of which; nothing
/// compared is said where only the other was.
std::vector<std::string> told_of_both(const std::vector<std::string>& of_trace,
                                      const std::vector<std::string>& of_survey);

/// Who walked the survey, when and with what.
std::vector<Entry> survey_facts(const JudgedSurvey& judged, const Zone& zone);

/// The cell of a survey, and the scale of its readings.
std::vector<Entry> survey_cell_facts(const JudgedSurvey& judged);

/// Those of what the survey found that are hazards, each once.
std::vector<std::string> survey_cautions(const std::vector<SurveyFinding>& findings);

} // namespace quaycell

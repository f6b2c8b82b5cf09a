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

/// Notes about the time of the readings, or within a day of it; all where there is no reading.
std::vector<NotedFact> notes_about(const std::vector<Note>& notes, const Readings& trace);

/// Who walked the survey, when and with what.
std::vector<Entry> survey_facts(const JudgedSurvey& judged, const Zone& zone);

} // namespace quaycell

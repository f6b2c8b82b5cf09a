// A survey of an invented boat, entry by entry.
#pragma once

#include "diagnosis/survey_findings.h"

namespace quaycell {

inline constexpr SurveyState unplugged{ShoreCord::unplugged, Anodes::connected};
inline constexpr SurveyState plugged{ShoreCord::plugged, Anodes::connected};
inline constexpr SurveyState anodes_off{ShoreCord::unplugged, Anodes::disconnected};

class MadeSurvey {
  public:
    MadeSurvey() {
        survey.cell_scale = Scale::agcl_seawater;
        survey.points = {{"main bus", PointRole::hull, "", {}},
                         {"rudder", PointRole::bonded, "stainless-austenitic", {}},
                         {"sea cock", PointRole::bonded, "copper-alloy", {}},
                         {"stern tube", PointRole::unbonded, "copper-alloy", {}},
                         {"dock earth", PointRole::dock_earth, "", {}}};
    }

    SurveyEntry& add(EntryKind kind, std::string point, SurveyState state, double potential_mv = 0,
                     std::int64_t about = 0) {
        SurveyEntry entry;
        entry.number = static_cast<std::int64_t>(survey.entries.size()) + 1;
        entry.kind = kind;
        entry.point = std::move(point);
        entry.state = state;
        entry.potential_mv = potential_mv;
        entry.settled = true;
        entry.about = about;
        survey.entries.push_back(std::move(entry));
        return survey.entries.back();
    }
    SurveyEntry& read(std::string point, SurveyState state, double potential_mv) {
        return add(EntryKind::reading, std::move(point), state, potential_mv);
    }

    /// In sea water, with a cell that was compared on the day.
    SurveyAssessment assessed() const {
        Water water;
        const Budget budget = reading_budget(survey.cell_scale, water, CellCheck::checked).value();
        const std::vector<std::string> metals{"copper-alloy", "stainless-austenitic"};
        const Judged judged{Hull::grp, metals, "", survey.cell_scale, Oxygen::aerobic, {}};
        const SurveyGrounds grounds{built_in_criteria(), judged,         water, budget,
                                    cell_rejected,       survey_limits()};
        return assess(survey, grounds).value();
    }

    std::vector<SurveyFinding> findings(const CellBeforeAfter& cell = {}) const {
        return survey_findings(survey, assessed(), cell);
    }

    Survey survey;
    bool cell_rejected = false;
};

/// Of the first result at that point in that state.
inline const PointResult& at(const SurveyAssessment& assessment, std::string_view point,
                             SurveyState state = unplugged) {
    for (const PointResult& result : assessment.points)
        if (result.point->name == point && result.state == state) return result;
    throw std::logic_error("no reading at " + std::string(point));
}

} // namespace quaycell

// What a survey comes to: each point judged and held against the hull, passes against each other.
#pragma once

#include "electrode/budget.h"
#include "electrode/cell_check.h"
#include "protection/judge.h"
#include "survey/survey.h"

#include <vector>

namespace quaycell {

/// The limits that a survey is read by, [mV]. What stands behind each is told where they are kept,
/// in the rules of practice.
struct SurveyLimits {
    double bond_in_place_mv;  ///< between bonded metals, the cell in one place
    double bond_moved_mv;     ///< likewise, the cell moved along
    double reversed_above_mv; ///< no metal of a boat lies above it
    double unchanged_mv;      ///< plugging in that moves the potential by less moved nothing
    double anode_shift_mv;    ///< by which anodes have to move the hull
    double ac_stop_mv;        ///< rms: more of it ends the watch at a point

    double bond_mv(CellTravel travel) const {
        return travel == CellTravel::one_place ? bond_in_place_mv : bond_moved_mv;
    }
};

/// What judging takes besides the survey.
struct SurveyGrounds {
    const std::vector<Criterion>& criteria;
    Judged judged; ///< the boat, as a reading at its hull is judged; the scale is the survey's
    Water water;
    Budget budget; ///< of one reading
    bool cell_rejected = false;
    SurveyLimits limits;
};

enum class Bond {
    not_compared, ///< not bonded, or nothing sound to hold it against
    same,
    differs, ///< by more than the tolerance
};
std::string_view name_of(Bond bond); ///< "differs"

/// A point in one state of the boat.
struct PointResult {
    const SurveyPoint* point;
    SurveyState state;
    std::vector<const SurveyEntry*> readings; ///< at least one
    double potential_mv;                      ///< against the cell: the median of its readings
    /// Of repeats, or within a reading where it is wider; not known of one that was typed in.
    std::optional<double> spread_mv;
    bool reversed;       ///< so positive that the leads were swapped
    bool ended_by_ac;    ///< before any of its readings had settled: it stands for nothing
    Judgement judgement; ///< the hull's own, or of the point's metal
    std::optional<double> off_hull_mv; ///< from the hull in the same state
    Bond bond = Bond::not_compared;
};

/// How a point goes with the shore power.
enum class Plugging {
    unchanged, ///< an isolator that works, or a protective earth that is open
    between,   ///< plugged in it lies between the dock's earth and unplugged, as it should
    outside,   ///< it does not
    no_dock,   ///< it changes, and nobody has read the dock's earth
};
struct ShoreComparison {
    const SurveyPoint* point;
    double unplugged_mv;
    double plugged_mv;
    std::optional<double> dock_earth_mv;
    Plugging plugging;
};

/// What the anodes do at a point.
struct AnodeComparison {
    const SurveyPoint* point;
    double connected_mv;
    double disconnected_mv;
    bool enough; ///< by the rule of the shift

    double shift_mv() const { return connected_mv - disconnected_mv; }
};

/// The instrument of the survey beside a reference instrument, at the same point.
struct ReferenceComparison {
    const SurveyPoint* point;
    double reading_mv;
    double reference_mv;
};

/// Refers to the survey's points and entries, and must not outlive them.
struct SurveyAssessment {
    std::vector<PointResult> points;              ///< pass by pass, in the order of the walk
    std::optional<double> dock_earth_mv;          ///< against the cell
    std::optional<double> dock_earth_standard_mv; ///< the same on agcl/seawater
    std::vector<ShoreComparison> shore;           ///< with the anodes connected
    std::vector<AnodeComparison> anodes;
    std::vector<ReferenceComparison> references;
};

/// Error besides those of prepare_rules(): out_of_range for water that no budget covers.
Result<SurveyAssessment> assess(const Survey& survey, const SurveyGrounds& grounds);

} // namespace quaycell

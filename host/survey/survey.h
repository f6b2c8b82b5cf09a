// A survey: a walk from point to point, as it is written down at each of them.
#pragma once

#include "base/time.h"
#include "electrode/scale.h"
#include "vessel/hull_place.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

enum class PointRole {
    hull,       ///< the bonding itself, at the engine's negative terminal or the main bus
    bonded,     ///< a fitting that is joined to it
    unbonded,   ///< a fitting that is meant to be by itself
    dock_earth, ///< the earth contact of the pedestal
};

/// Names of the enums of this file, and what has such a name; an unknown one is an error
/// (wrong_usage) that lists the valid names.
std::string_view name_of(PointRole role); ///< "dock-earth"
Result<PointRole> point_role_named(std::string_view name);

struct SurveyPoint {
    std::string name; ///< each once in a survey
    PointRole role = PointRole::bonded;
    std::string metal; ///< its kind, "copper-alloy"; empty: not known, or the hull's own
    std::optional<HullPlace> place;
};

enum class ShoreCord { unplugged, plugged };
std::string_view name_of(ShoreCord shore); ///< "plugged"
Result<ShoreCord> shore_cord_named(std::string_view name);

enum class Anodes { connected, disconnected };
std::string_view name_of(Anodes anodes); ///< "disconnected"
Result<Anodes> anodes_named(std::string_view name);

/// What the boat was like at a reading. The readings of one state are one pass.
struct SurveyState {
    ShoreCord shore = ShoreCord::unplugged;
    Anodes anodes = Anodes::connected;
    auto operator<=>(const SurveyState&) const = default;
};

/// Whether the cell hung in one place all through, or went along with the lead.
enum class CellTravel { one_place, moved };
std::string_view name_of(CellTravel travel); ///< "one-place"
Result<CellTravel> cell_travel_named(std::string_view name);

enum class EntryKind {
    reading,   ///< of the instrument of the survey
    reference, ///< of a reference instrument at the same point, beside entry `about`
    skip,      ///< the point cannot be reached; `text` says why
    note,
    photo,  ///< `text` is the name of the file
    strike, ///< entry `about` does not count; `text` says why
    state,  ///< the boat is in another state from now on
    finish, ///< the walk is over
};
std::string_view name_of(EntryKind kind); ///< "reading"
Result<EntryKind> entry_kind_named(std::string_view name);

/// What was written down at one instant. Never changed: a strike is an entry of its own.
struct SurveyEntry {
    std::int64_t number = 0; ///< in the order in which they were written
    Instant at;
    EntryKind kind = EntryKind::note;
    std::string point; ///< its name; may be empty for a note
    SurveyState state;
    double potential_mv = 0; ///< of readings, against the cell
    /// Between the highest and the lowest that it is the median of; not known where it was typed
    /// in.
    std::optional<double> spread_mv;
    bool settled = false;        ///< by the criterion of the survey; else somebody insisted, or AC
                                 ///< ended the watch
    std::optional<double> ac_mv; ///< rms, where it was measured
    std::int64_t about = 0;      ///< the number of another entry
    std::string text;
};

struct Survey {
    CellTravel cell_travel = CellTravel::one_place;
    Scale cell_scale = Scale::agcl_open;
    std::optional<double> input_resistance_mohm; ///< of the instrument; unknown where absent
    std::vector<SurveyPoint> points;             ///< in the order of the walk
    std::vector<SurveyEntry> entries;            ///< by number
};

/// The point of that name, or null.
const SurveyPoint* point_named(const Survey& survey, std::string_view name);

/// The readings of that kind at a point in a state that nobody has struck, in order.
std::vector<const SurveyEntry*> standing(const Survey& survey, EntryKind kind,
                                         std::string_view point, SurveyState state);

/// Whether AC above `stop_mv` ended the watch before the reading had settled: nobody wanted it so.
bool is_ended_by_ac(const SurveyEntry& reading, double stop_mv);

/// Whether there is a reading, or a reason for none, at a point in a state.
bool is_done(const Survey& survey, std::string_view point, SurveyState state);

/// The first point of the walk, from index `from` on and round, that is not done in that state;
/// nothing when all are. The dock's earth is not a point of the walk.
std::optional<std::size_t> next_point(const Survey& survey, SurveyState state, std::size_t from);

struct UnreadPoint {
    const SurveyPoint* point;
    SurveyState state;
};

/// The points that a pass was begun without: neither read nor skipped. A pass begins with the first
/// point that is, even if that is struck. The dock's earth is not asked for.
std::vector<UnreadPoint> unread(const Survey& survey);

/// The state that the boat was left in, as the entries have it.
SurveyState last_state(const Survey& survey);

/// The point of the walk before index `at`, round the end; `at` itself where there is no other. The
/// dock's earth is not one.
std::size_t point_before(const Survey& survey, std::size_t at);

bool is_finished(const Survey& survey);

/// Whatever was written down with more AC than that, [mV rms], in order: struck, too, for a hazard
/// stays one when the reading is worth nothing.
std::vector<const SurveyEntry*> with_ac_above(const Survey& survey, double ac_mv);

} // namespace quaycell

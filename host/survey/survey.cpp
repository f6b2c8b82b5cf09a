#include "survey/survey.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <set>
#include <span>

namespace quaycell {

namespace {

template <typename Kind>
struct Named {
    Kind kind;
    std::string_view name;
};
template <typename Kind>
Named(Kind, std::string_view) -> Named<Kind>; // clang 16 wants it said

constexpr std::array roles{Named{PointRole::hull, "hull"}, Named{PointRole::bonded, "bonded"},
                           Named{PointRole::unbonded, "unbonded"},
                           Named{PointRole::dock_earth, "dock-earth"}};
constexpr std::array shores{Named{ShoreCord::unplugged, "unplugged"},
                            Named{ShoreCord::plugged, "plugged"}};
constexpr std::array anode_states{Named{Anodes::connected, "connected"},
                                  Named{Anodes::disconnected, "disconnected"}};
constexpr std::array travels{Named{CellTravel::one_place, "one-place"},
                             Named{CellTravel::moved, "moved"}};
constexpr std::array kinds{
    Named{EntryKind::reading, "reading"}, Named{EntryKind::reference, "reference"},
    Named{EntryKind::skip, "skip"},       Named{EntryKind::note, "note"},
    Named{EntryKind::photo, "photo"},     Named{EntryKind::strike, "strike"},
    Named{EntryKind::state, "state"},     Named{EntryKind::finish, "finish"}};

template <typename Kind, std::size_t size>
std::string_view name_in(const std::array<Named<Kind>, size>& table, Kind kind) {
    return std::ranges::find(table, kind, &Named<Kind>::kind)->name;
}

template <typename Kind, std::size_t size>
Result<Kind> named_in(const std::array<Named<Kind>, size>& table, std::string_view name,
                      std::string_view what) {
    const auto found = std::ranges::find(table, name, &Named<Kind>::name);
    if (found != table.end()) return found->kind;
    std::vector<std::string_view> names(size);
    std::ranges::transform(table, names.begin(), &Named<Kind>::name);
    return Error{ErrorCode::wrong_usage, fmt::format("\"{}\" is no {}", name, what), "",
                 fmt::format("Use one of: {}", fmt::join(names, ", "))};
}

} // namespace

std::string_view name_of(PointRole role) {
    return name_in(roles, role);
}
Result<PointRole> point_role_named(std::string_view name) {
    return named_in(roles, name, "role of a point");
}
std::string_view name_of(ShoreCord shore) {
    return name_in(shores, shore);
}
Result<ShoreCord> shore_cord_named(std::string_view name) {
    return named_in(shores, name, "state of shore power");
}
std::string_view name_of(Anodes anodes) {
    return name_in(anode_states, anodes);
}
Result<Anodes> anodes_named(std::string_view name) {
    return named_in(anode_states, name, "state of the anodes");
}
std::string_view name_of(CellTravel travel) {
    return name_in(travels, travel);
}
Result<CellTravel> cell_travel_named(std::string_view name) {
    return named_in(travels, name, "way of the cell");
}
std::string_view name_of(EntryKind kind) {
    return name_in(kinds, kind);
}
Result<EntryKind> entry_kind_named(std::string_view name) {
    return named_in(kinds, name, "kind of entry");
}

const SurveyPoint* point_named(const Survey& survey, std::string_view name) {
    const auto found = std::ranges::find(survey.points, name, &SurveyPoint::name);
    return found == survey.points.end() ? nullptr : &*found;
}

std::vector<const SurveyEntry*> standing(const Survey& survey, EntryKind kind,
                                         std::string_view point, SurveyState state) {
    std::set<std::int64_t> struck;
    for (const SurveyEntry& entry : survey.entries)
        if (entry.kind == EntryKind::strike) struck.insert(entry.about);
    std::vector<const SurveyEntry*> found;
    for (const SurveyEntry& entry : survey.entries)
        if (entry.kind == kind && entry.point == point && entry.state == state &&
            !struck.contains(entry.number))
            found.push_back(&entry);
    return found;
}

bool is_ended_by_ac(const SurveyEntry& reading, double stop_mv) {
    return !reading.settled && reading.ac_mv.value_or(0) > stop_mv;
}

bool is_done(const Survey& survey, std::string_view point, SurveyState state) {
    return !standing(survey, EntryKind::reading, point, state).empty() ||
           !standing(survey, EntryKind::skip, point, state).empty();
}

std::optional<std::size_t> next_point(const Survey& survey, SurveyState state, std::size_t from) {
    const std::size_t count = survey.points.size();
    for (std::size_t step = 0; step < count; ++step) {
        const std::size_t at = (from + step) % count;
        const SurveyPoint& point = survey.points[at];
        if (point.role != PointRole::dock_earth && !is_done(survey, point.name, state)) return at;
    }
    return std::nullopt;
}

std::vector<UnreadPoint> unread(const Survey& survey) {
    std::set<SurveyState> begun;
    for (const SurveyEntry& entry : survey.entries) {
        const SurveyPoint* point = point_named(survey, entry.point);
        if (point != nullptr && point->role != PointRole::dock_earth &&
            (entry.kind == EntryKind::reading || entry.kind == EntryKind::skip))
            begun.insert(entry.state);
    }
    std::vector<UnreadPoint> found;
    for (const SurveyState state : begun)
        for (const SurveyPoint& point : survey.points)
            if (point.role != PointRole::dock_earth && !is_done(survey, point.name, state))
                found.push_back({&point, state});
    return found;
}

SurveyState last_state(const Survey& survey) {
    const auto last = std::ranges::find_if(
        survey.entries.rbegin(), survey.entries.rend(), [](const SurveyEntry& entry) {
            // These are about an earlier entry, and in its state.
            return entry.kind != EntryKind::strike && entry.kind != EntryKind::reference;
        });
    return last == survey.entries.rend() ? SurveyState{} : last->state;
}

std::size_t point_before(const Survey& survey, std::size_t at) {
    const std::size_t count = survey.points.size();
    for (std::size_t step = 1; step <= count; ++step) {
        const std::size_t before = (at + count - step) % count;
        if (survey.points[before].role != PointRole::dock_earth) return before;
    }
    return at;
}

bool is_finished(const Survey& survey) {
    return std::ranges::find(survey.entries, EntryKind::finish, &SurveyEntry::kind) !=
           survey.entries.end();
}

std::vector<const SurveyEntry*> with_ac_above(const Survey& survey, double ac_mv) {
    std::vector<const SurveyEntry*> found;
    for (const SurveyEntry& entry : survey.entries)
        if (entry.ac_mv && *entry.ac_mv > ac_mv) found.push_back(&entry);
    return found;
}

} // namespace quaycell

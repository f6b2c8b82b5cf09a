#include "survey/assessment.h"

#include "survey/settled.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace quaycell {

namespace {

/// Metals have criteria of their own here, whatever set the hull goes by.
constexpr std::string_view metal_rule_set = "marine-metals";

constexpr std::array passes{SurveyState{ShoreCord::unplugged, Anodes::connected},
                            SurveyState{ShoreCord::plugged, Anodes::connected},
                            SurveyState{ShoreCord::unplugged, Anodes::disconnected},
                            SurveyState{ShoreCord::plugged, Anodes::disconnected}};

Judgement without_verdict(ByConstants standard_mv, double expanded_mv, std::string why) {
    Judgement judgement;
    judgement.potential_mv = standard_mv.less_negative_mv();
    judgement.expanded_uncertainty_mv = expanded_mv;
    judgement.reasons.push_back(std::move(why));
    return judgement;
}

/// Whether others may be held against it.
bool stands(const PointResult& result) {
    return !result.reversed && !result.ended_by_ac;
}

class Assessor {
  public:
    Assessor(const Survey& survey, const SurveyGrounds& grounds, ByConstants offset_mv)
        : survey_(survey), grounds_(grounds), offset_mv_(offset_mv) {}

    Result<SurveyAssessment> run() {
        for (const SurveyState& state : passes)
            if (auto error = take_pass(state)) return *error;
        take_dock_earth();
        compare_shore();
        compare_anodes();
        compare_references();
        return std::move(found_);
    }

  private:
    std::optional<Error> take_pass(SurveyState state) {
        const std::size_t first = found_.points.size();
        for (const SurveyPoint& point : survey_.points) {
            auto result = result_at(point, state);
            if (!result) return result.error();
            if (*result) found_.points.push_back(std::move(**result));
        }
        hold_against_hull(std::span(found_.points).subspan(first));
        return std::nullopt;
    }

    Result<std::optional<PointResult>> result_at(const SurveyPoint& point, SurveyState state) {
        PointResult result{};
        result.point = &point;
        result.state = state;
        result.readings = standing(survey_, EntryKind::reading, point.name, state);
        if (result.readings.empty()) return std::optional<PointResult>{};
        const auto ended = [&](const SurveyEntry* reading) {
            return is_ended_by_ac(*reading, grounds_.limits.ac_stop_mv);
        };
        result.ended_by_ac = std::ranges::all_of(result.readings, ended);
        std::vector<double> values_mv;
        for (const SurveyEntry* reading : result.readings) {
            if (ended(reading) && !result.ended_by_ac) continue; // one that settled stands for it
            values_mv.push_back(reading->potential_mv);
            if (reading->spread_mv)
                result.spread_mv = std::max(result.spread_mv.value_or(0), *reading->spread_mv);
        }
        const PointValue value = value_of(values_mv);
        result.potential_mv = value.potential_mv;
        if (values_mv.size() > 1)
            result.spread_mv = std::max(result.spread_mv.value_or(0), value.spread_mv);
        const ByConstants standard_mv = value.potential_mv + offset_mv_;
        result.reversed = standard_mv.less_negative_mv() > grounds_.limits.reversed_above_mv;
        auto judgement = judged(result, standard_mv);
        if (!judgement) return judgement.error();
        result.judgement = std::move(judgement).value();
        return std::optional{std::move(result)};
    }

    Result<Judgement> judged(const PointResult& result, ByConstants standard_mv) {
        const SurveyPoint& point = *result.point;
        const auto none = [&](const char* why) {
            return without_verdict(standard_mv, grounds_.budget.expanded_mv(), why);
        };
        if (point.role == PointRole::dock_earth)
            return none("the dock's earth is no metal of the boat");
        if (grounds_.cell_rejected) return none("the reference cell was rejected");
        if (result.ended_by_ac)
            return none(
                "AC ended the reading before it had settled: repeat it when the AC is gone");
        if (result.reversed) return none("no metal of a boat shows this: the leads were swapped");
        if (result.state.anodes == Anodes::disconnected)
            return none("the anodes are disconnected: this is what the shift is counted from");
        const bool by_metal = point.role != PointRole::hull;
        if (by_metal && point.metal.empty()) return none("nobody said what metal it is");
        const auto rules = rules_for(by_metal ? point.metal : std::string());
        if (!rules) return rules.error();
        return judge(**rules, standard_mv, grounds_.budget.spread());
    }

    /// Of a metal; of the hull where it has no name.
    Result<const Rules*> rules_for(const std::string& metal) {
        const auto known = rules_.find(metal);
        if (known != rules_.end()) return &known->second;
        Judged judged = grounds_.judged;
        judged.cell_scale = survey_.cell_scale;
        if (!metal.empty())
            // Plastic asks for nothing of its own, so that the metal alone decides.
            judged = {Hull::grp,         {metal},       std::string(metal_rule_set),
                      judged.cell_scale, judged.oxygen, {}};
        auto rules = prepare_rules(grounds_.criteria, judged, grounds_.water);
        if (!rules) return rules.error();
        return &rules_.emplace(metal, std::move(rules).value()).first->second;
    }

    void hold_against_hull(std::span<PointResult> pass) const {
        const auto hull = std::ranges::find_if(pass, [](const PointResult& result) {
            return result.point->role == PointRole::hull && stands(result);
        });
        if (hull == pass.end()) return;
        for (PointResult& result : pass) {
            if (result.point->role == PointRole::dock_earth || &result == &*hull ||
                result.ended_by_ac)
                continue;
            result.off_hull_mv = result.potential_mv - hull->potential_mv;
            if (result.point->role != PointRole::bonded || result.reversed) continue;
            result.bond =
                std::abs(*result.off_hull_mv) > grounds_.limits.bond_mv(survey_.cell_travel)
                    ? Bond::differs
                    : Bond::same;
        }
    }

    const PointResult* in(const SurveyPoint& point, SurveyState state) const {
        for (const PointResult& result : found_.points)
            if (result.point == &point && result.state == state && stands(result)) return &result;
        return nullptr;
    }

    /// As it was read with the cord unplugged, else plugged in.
    void take_dock_earth() {
        const auto dock = std::ranges::find_if(found_.points, [](const PointResult& result) {
            return result.point->role == PointRole::dock_earth && stands(result);
        });
        if (dock == found_.points.end()) return;
        found_.dock_earth_mv = dock->potential_mv;
        found_.dock_earth_standard_mv = dock->judgement.potential_mv;
    }

    void compare_shore() {
        for (const SurveyPoint& point : survey_.points) {
            const PointResult* unplugged = in(point, passes[0]);
            const PointResult* plugged = in(point, passes[1]);
            if (point.role == PointRole::dock_earth || unplugged == nullptr || plugged == nullptr)
                continue;
            found_.shore.push_back({&point, unplugged->potential_mv, plugged->potential_mv,
                                    found_.dock_earth_mv,
                                    plugging_of(unplugged->potential_mv, plugged->potential_mv)});
        }
    }

    Plugging plugging_of(double unplugged_mv, double plugged_mv) const {
        if (std::abs(plugged_mv - unplugged_mv) < grounds_.limits.unchanged_mv)
            return Plugging::unchanged;
        if (!found_.dock_earth_mv) return Plugging::no_dock;
        const auto [low, high] = std::minmax(unplugged_mv, *found_.dock_earth_mv);
        // At a good bond to the dock it reads the same as the dock's earth.
        const double same_mv = grounds_.limits.bond_in_place_mv;
        return plugged_mv >= low - same_mv && plugged_mv <= high + same_mv ? Plugging::between
                                                                           : Plugging::outside;
    }

    /// In the first state of the shore power that both were read in.
    void compare_anodes() {
        for (const SurveyPoint& point : survey_.points) {
            for (const std::size_t pass : {0, 1}) {
                const PointResult* with = in(point, passes[pass]);
                const PointResult* without = in(point, passes[pass + 2]);
                if (point.role == PointRole::dock_earth || with == nullptr || without == nullptr)
                    continue;
                AnodeComparison compared{&point, with->potential_mv, without->potential_mv, false};
                compared.enough = compared.shift_mv() <= -grounds_.limits.anode_shift_mv;
                found_.anodes.push_back(compared);
                break;
            }
        }
    }

    void compare_references() {
        for (const PointResult& result : found_.points)
            for (const SurveyEntry* beside :
                 standing(survey_, EntryKind::reference, result.point->name, result.state)) {
                const auto reading =
                    std::ranges::find(result.readings, beside->about, &SurveyEntry::number);
                if (reading != result.readings.end())
                    found_.references.push_back(
                        {result.point, (*reading)->potential_mv, beside->potential_mv});
            }
    }

    const Survey& survey_;
    const SurveyGrounds& grounds_;
    ByConstants offset_mv_;
    std::map<std::string, Rules> rules_;
    SurveyAssessment found_;
};

} // namespace

std::string_view name_of(Bond bond) {
    constexpr std::array<std::string_view, 3> names{"not-compared", "same", "differs"};
    return names.at(static_cast<std::size_t>(bond));
}

Result<SurveyAssessment> assess(const Survey& survey, const SurveyGrounds& grounds) {
    const auto offset = standard_offset(survey.cell_scale, grounds.water);
    if (!offset) return offset.error();
    return Assessor(survey, grounds, offset->offset_mv).run();
}

} // namespace quaycell

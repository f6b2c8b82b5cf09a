#include "diagnosis/survey_findings.h"

#include "diagnosis/galvanic_series.h"
#include "diagnosis/practice.h"
#include "diagnosis/survey_words.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <span>

namespace quaycell {

namespace {

/// Which rows of the galvanic series a kind of metal can be.
struct FreeMetals {
    std::string_view kind;
    std::string_view in_words;
    std::string_view most_negative; ///< row of the series
    std::string_view least_negative;
};
constexpr FreeMetals free_metals[] = {
    {"mild-steel", "bare steel", "mild steel", "mild steel"},
    {"stainless-austenitic", "stainless steel", "304 stainless, active", "316 stainless, passive"},
    {"copper-alloy", "a copper alloy", "brass", "70-30 copper-nickel"},
    {"copper-alloy-aluminium", "an aluminium bronze", "aluminium bronze",
     "nickel-aluminium bronze"},
    {"nickel-copper", "a nickel-copper alloy", "nickel-copper", "nickel-copper"},
    {"aluminium-alloy", "an aluminium alloy", "aluminium alloys", "aluminium alloys"},
};

const FreePotential& free_potential(std::string_view metal) {
    return *std::ranges::find(galvanic_series(), metal, &FreePotential::metal);
}

/// How such a metal would be called at that potential if nothing protected it; empty: it does not
/// lie there, or nobody knows what metal it is.
std::string_view corroding_freely(std::string_view kind, const Judgement& judgement) {
    const auto metals = std::ranges::find(free_metals, kind, &FreeMetals::kind);
    if (metals == std::end(free_metals)) return "";
    const double within_mv = judgement.expanded_uncertainty_mv;
    const double mv = judgement.potential_mv;
    const bool is_free = mv >= free_potential(metals->most_negative).potential_mv.low - within_mv &&
                         mv <= free_potential(metals->least_negative).potential_mv.high + within_mv;
    return is_free ? metals->in_words : "";
}

const PracticeRule& rule(std::string_view id) {
    return *std::ranges::find(practice_rules(), id, &PracticeRule::id);
}

class Finder {
  public:
    Finder(const Survey& survey, const SurveyAssessment& assessment, const CellBeforeAfter& cell)
        : survey_(survey), assessment_(assessment), cell_(cell) {}

    std::vector<SurveyFinding> run() {
        look_for_ac();
        compare_shore(true);
        for (const PointResult& result : assessment_.points)
            if (result.reversed)
                add("reversed-lead", result.point->name,
                    fmt::format("It reads {:+.0f} mV.", result.potential_mv));
        look_at_cell();
        for (const PointResult& result : assessment_.points)
            look_at_bond(result);
        compare_shore(false);
        look_at_dock();
        look_at_anodes();
        look_at_instruments();
        look_at_omissions();
        return std::move(found_);
    }

  private:
    /// The source is that of the words, or of the rule that has decided.
    void add(std::string_view id, std::string point, const std::string& numbers,
             std::string_view decided_by = "") {
        const SurveyWords& words = survey_words(id);
        std::string source(words.source);
        std::string status(words.status);
        if (!decided_by.empty()) {
            source = fmt::format("{} {:g} {}: {}", rule(decided_by).says, rule(decided_by).value,
                                 rule(decided_by).unit, rule(decided_by).source);
            status = rule(decided_by).status;
        }
        found_.push_back({id, std::move(point),
                          numbers + (numbers.empty() ? "" : " ") + std::string(words.what),
                          words.test, words.caution, std::move(source), std::move(status)});
    }

    void look_for_ac() {
        for (const SurveyEntry* entry : with_ac_above(survey_, practice("ac-stop")))
            add("ac", entry->point, fmt::format("It carries {:.0f} mV rms of AC.", *entry->ac_mv),
                "ac-stop");
    }

    /// Of the hull, else of the first point that was read both ways.
    void compare_shore(bool hazard) {
        if (assessment_.shore.empty()) return;
        const auto hull = std::ranges::find_if(assessment_.shore, [](const ShoreComparison& each) {
            return each.point->role == PointRole::hull;
        });
        const ShoreComparison& seen =
            hull == assessment_.shore.end() ? assessment_.shore.front() : *hull;
        const std::string numbers =
            fmt::format("Plugged in it reads {:.0f} mV, unplugged {:.0f} mV", seen.plugged_mv,
                        seen.unplugged_mv) +
            (seen.dock_earth_mv ? fmt::format(", the dock's earth {:.0f} mV.", *seen.dock_earth_mv)
                                : ".");
        if (hazard) {
            if (seen.plugging == Plugging::unchanged) add("open-earth", seen.point->name, numbers);
            return;
        }
        if (seen.plugging == Plugging::unchanged) return;
        if (seen.plugging == Plugging::outside) add("shore-outside", seen.point->name, numbers);
        add(seen.unplugged_mv < seen.plugged_mv ? "shore-shares" : "shore-feeds", seen.point->name,
            numbers);
    }

    void look_at_cell() {
        const auto rejects = [](const std::optional<CellComparison>& comparison) {
            return comparison && comparison->finding == CellFinding::rejected;
        };
        for (const auto* comparison : {&cell_.before, &cell_.after})
            if (rejects(*comparison)) {
                const CellComparison& found = **comparison;
                add("cell-rejected", "", found.why + ".");
                found_.back().source = found.source;
                return;
            }
        if (cell_.before && cell_.after &&
            std::abs(cell_.after->difference_mv - cell_.before->difference_mv) >
                practice("cell-drift"))
            add("cell-drifted", "",
                fmt::format("It was {:.1f} mV off before and is {:.1f} mV off after.",
                            cell_.before->difference_mv, cell_.after->difference_mv),
                "cell-drift");
    }

    void look_at_bond(const PointResult& result) {
        if (!result.off_hull_mv || result.reversed) return;
        const std::string numbers = fmt::format(
            "It reads {:.0f} mV, {:.0f} mV {} negative than the hull{}.", result.potential_mv,
            std::abs(*result.off_hull_mv), *result.off_hull_mv > 0 ? "less" : "more",
            result.state == SurveyState{} ? "" : state_words(result.state));
        const std::string_view tolerance =
            survey_.cell_travel == CellTravel::one_place ? "bond-in-place" : "bond-moved";
        const std::string_view free = corroding_freely(result.point->metal, result.judgement);
        if (result.point->role == PointRole::unbonded) {
            if (std::abs(*result.off_hull_mv) <= practice(tolerance) && free.empty())
                add("unbonded-protected", result.point->name, numbers);
            return;
        }
        if (result.bond != Bond::differs) return;
        if (*result.off_hull_mv < 0)
            add("more-negative-than-hull", result.point->name, numbers, tolerance);
        else if (free.empty())
            add("bond-broken", result.point->name, numbers, tolerance);
        else
            add("unbonded-metal", result.point->name,
                fmt::format("{} As {} it can lie there.", numbers, free));
    }

    static std::string state_words(SurveyState state) {
        return fmt::format(", with shore power {} and anodes {}", name_of(state.shore),
                           name_of(state.anodes));
    }

    void look_at_dock() {
        if (!assessment_.dock_earth_standard_mv) return;
        const double dock_mv = *assessment_.dock_earth_standard_mv;
        const bool too_far = dock_mv < practice("dock-most-negative");
        if (too_far || dock_mv > practice("dock-least-negative"))
            add("dock-earth-odd", "",
                fmt::format("The dock's earth reads {:.0f} mV on agcl/seawater.", dock_mv),
                too_far ? "dock-most-negative" : "dock-least-negative");
    }

    void look_at_anodes() {
        for (const AnodeComparison& each : assessment_.anodes)
            if (!each.enough)
                add("anodes-weak", each.point->name,
                    fmt::format("With the anodes it reads {:.0f} mV, without them {:.0f} mV: a "
                                "shift of {:.0f} mV.",
                                each.connected_mv, each.disconnected_mv, each.shift_mv()),
                    "anode-shift");
    }

    void look_at_instruments() {
        for (const ReferenceComparison& each : assessment_.references)
            if (std::abs(each.reading_mv - each.reference_mv) > practice("instruments-agree"))
                add("references-differ", each.point->name,
                    fmt::format("It reads {:.0f} mV, the reference instrument {:.0f} mV.",
                                each.reading_mv, each.reference_mv),
                    "instruments-agree");
        if (survey_.input_resistance_mohm &&
            *survey_.input_resistance_mohm < practice("input-resistance"))
            add("low-input-resistance", "",
                fmt::format("The instrument has {:g} Mohm.", *survey_.input_resistance_mohm),
                "input-resistance");
    }

    void look_at_omissions() {
        std::vector<SurveyState> without_hull;
        for (const PointResult& result : assessment_.points) {
            for (const SurveyEntry* reading : result.readings)
                if (!reading->settled) add("not-settled", result.point->name, "");
            if (result.point->role == PointRole::bonded && !result.off_hull_mv &&
                !result.ended_by_ac &&
                std::ranges::find(without_hull, result.state) == without_hull.end()) {
                without_hull.push_back(result.state);
                add("no-hull-reading", "", "");
            }
        }
        if (is_finished(survey_))
            for (const UnreadPoint& each : unread(survey_))
                add("not-read", each.point->name,
                    fmt::format("Shore power {}, anodes {}.", name_of(each.state.shore),
                                name_of(each.state.anodes)));
        if (!cell_.before && !cell_.after)
            add("cell-not-compared", "", "Nobody compared the cell before the survey or after it.");
        else if (!cell_.before || !cell_.after)
            add("cell-not-compared", "",
                fmt::format("The cell was compared {} only.",
                            cell_.before ? "before the survey" : "after the survey"));
    }

    const Survey& survey_;
    const SurveyAssessment& assessment_;
    const CellBeforeAfter& cell_;
    std::vector<SurveyFinding> found_;
};

} // namespace

SurveyLimits survey_limits() {
    return {practice("bond-in-place"), practice("bond-moved"),  clearly_positive_mv,
            practice("isolated"),      practice("anode-shift"), practice("ac-stop")};
}

std::vector<SurveyFinding> survey_findings(const Survey& survey, const SurveyAssessment& assessment,
                                           const CellBeforeAfter& cell) {
    return Finder(survey, assessment, cell).run();
}

} // namespace quaycell

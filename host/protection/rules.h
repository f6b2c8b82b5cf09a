// The criteria that count for one boat in its water, chosen once for any number of readings.
#pragma once

#include "protection/criterion.h"
#include "protection/verdict.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

inline constexpr std::string_view default_rule_set = "small-craft";

/// The potential of the same boat with the anodes disconnected.
struct Baseline {
    ByConstants standard_mv; ///< on agcl/seawater
    /// Expanded uncertainty (k = 2) of the difference between a reading and it, [mV]: what is the
    /// same in both readings does not count.
    double change_uncertainty_mv;
};

/// What the criteria are chosen for.
struct Judged {
    Hull hull;
    std::vector<std::string> metals; ///< kinds of the bonded metals
    std::string rule_set = {};       ///< empty: the default one
    /// What the reading was taken with. A row on the same scale is preferred, and needs no
    /// conversion; a bare element counts as agcl/seawater.
    Scale cell_scale = Scale::agcl_seawater;
    /// Only whoever knows the hull to lie in mud without oxygen says anaerobic.
    Oxygen oxygen = Oxygen::aerobic;
    std::optional<Baseline> baseline = {};
};

/// A criterion and what it decides for this boat.
struct Rule {
    Criterion criterion;
    Band band; ///< the criterion's limits on agcl/seawater, the stricter of both conversions
    /// From the criterion's own scale to agcl/seawater; of a shift, the baseline there.
    ByConstants offset_mv;
    bool decides;       ///< the hull's row: its whole verdict counts
    bool over_counts;   ///< its negative limit counts, because being beyond it destroys
    bool over_destroys; ///< wood, aluminium, high-strength and duplex steel
    bool over_unknown;  ///< sensitive, but no negative limit is published: never passed
    /// In place of the reading's own, for a shift.
    std::optional<double> expanded_uncertainty_mv = std::nullopt;
};

struct Rules {
    std::vector<Rule> rules;
    std::optional<std::string> conflict;      ///< two bands that do not meet, in words
    std::optional<std::string> no_verdict;    ///< why these criteria cannot judge in this water
    std::optional<std::string> by_shift = {}; ///< why the shift rule decides in their place
};

/// In place of what a budget says of a change from the baseline: the user's own, k = 2, [mV].
void set_shift_uncertainty(Rules& rules, double expanded_uncertainty_mv);

/// The rows of the rule set for the hull and the rows of the bonded metals, for this water. Where
/// the rule set goes by metal, the hull's own metal decides, and on a hull without one the listed
/// metals do. Negative limits of sensitive metals and of a wooden hull count under any rule set. In
/// mud without oxygen a row for it decides, too, from whatever set. With a baseline the shift rules
/// are shown; in water that the rows do not apply in the first of them decides in their place, and
/// never passes what over-protection destroys. Unknown metals and rule sets, and a rule set without
/// a row for the boat, are errors (wrong_usage).
Result<Rules> prepare_rules(const std::vector<Criterion>& criteria, const Judged& judged,
                            const Water& water);

/// The names of the rule sets in a table, in its order.
std::vector<std::string> rule_sets_in(std::span<const Criterion> criteria);

} // namespace quaycell

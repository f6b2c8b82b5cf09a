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

/// A criterion and what it decides for this boat.
struct Rule {
    Criterion criterion;
    Band band; ///< the criterion's limits on agcl/seawater, the stricter of both conversions
    ByConstants offset_mv; ///< from the criterion's own scale to agcl/seawater
    bool decides;          ///< the hull's row: its whole verdict counts
    bool over_counts;      ///< its negative limit counts, because being beyond it destroys
    bool over_destroys;    ///< wood, aluminium, high-strength and duplex steel
    bool over_unknown;     ///< sensitive, but no negative limit is published: never passed
};

struct Rules {
    std::vector<Rule> rules;
    std::optional<std::string> conflict;   ///< two bands that do not meet, in words
    std::optional<std::string> no_verdict; ///< why these criteria cannot judge in this water
};

/// The rows of `rule_set` (empty: the default) for the hull and the rows of the bonded metals, for
/// this water. Where the rule set goes by metal, the hull's own metal decides, and on a hull
/// without one the listed metals do. Negative limits of sensitive metals and of a wooden hull count
/// under any rule set. Unknown metals and rule sets, and a rule set without a row for the boat, are
/// errors (wrong_usage).
Result<Rules> prepare_rules(const std::vector<Criterion>& criteria, Hull hull,
                            const std::vector<std::string>& metals, std::string_view rule_set,
                            const Water& water);

/// The names of the rule sets in a table, in its order.
std::vector<std::string> rule_sets_in(std::span<const Criterion> criteria);

} // namespace quaycell

#include "protection/criterion.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {
namespace {

bool judges(const Criterion& c) {
    return !c.background && (c.kind == CriterionKind::absolute || c.kind == CriterionKind::target);
}

bool share_oxygen(Oxygen a, Oxygen b) {
    return a == b || a == Oxygen::any || b == Oxygen::any;
}

/// Both would be taken to judge the same subject in the same water.
bool contradict(const Criterion& a, const Criterion& b) {
    return judges(a) && judges(b) && a.subject == b.subject && a.rule_set == b.rule_set &&
           a.scale == b.scale && share_oxygen(a.oxygen, b.oxygen) &&
           a.salinity_min_psu < b.salinity_max_psu && b.salinity_min_psu < a.salinity_max_psu;
}

} // namespace

Result<std::vector<Criterion>> with_own_criteria(std::vector<Criterion> criteria,
                                                 std::vector<Criterion> own,
                                                 std::string_view where) {
    for (Criterion& row : own) {
        const auto same = std::ranges::find(criteria, row.id, &Criterion::id);
        if (same != criteria.end())
            *same = std::move(row);
        else
            criteria.push_back(std::move(row));
    }
    for (auto a = criteria.begin(); a != criteria.end(); ++a)
        for (auto b = std::next(a); b != criteria.end(); ++b)
            if (contradict(*a, *b))
                return Error{ErrorCode::wrong_input,
                             fmt::format("rows \"{}\" and \"{}\" of rule set \"{}\" both judge {} "
                                         "in the same water",
                                         a->id, b->id, a->rule_set, a->subject),
                             std::string(where),
                             "Give one of them a rule_set of its own, the other's id to replace "
                             "it, or background = true"};
    return criteria;
}

} // namespace quaycell

#include "protection/disagreement.h"

#include "protection/standard_potential.h"

#include <algorithm>
#include <cmath>

namespace quaycell {
namespace {

constexpr double same_mv = 0.5; ///< closer than printed limits are

/// One end of a row's band, where the row has it.
std::optional<double> end_of(const Criterion& c, bool negative_end) {
    return negative_end ? c.over_at_mv : c.protected_from_mv;
}

/// The first hull made of the same metal, else the subject itself.
std::string_view group_of(std::string_view subject) {
    std::optional<Metal> metal;
    if (const auto hull = hull_named(subject)) metal = metal_of(*hull);
    if (const auto itself = metal_named(subject)) metal = *itself;
    for (const Hull hull : all_hulls())
        if (metal && metal_of(hull) == metal) return name_of(hull);
    return subject;
}

bool applies(const Criterion& c, Oxygen oxygen) {
    return c.oxygen == oxygen || (oxygen == Oxygen::aerobic && c.oxygen == Oxygen::any);
}

bool share_water(const Criterion& a, const Criterion& b) {
    return a.salinity_min_psu < b.salinity_max_psu && b.salinity_min_psu < a.salinity_max_psu;
}

/// The limits of the rows that share water with the first one, taken out of `limits`.
std::vector<LimitOfRow> take_one_water(std::vector<LimitOfRow>& limits) {
    const Criterion& first = *limits.front().criterion;
    const auto others =
        std::stable_partition(limits.begin(), limits.end(), [&first](const LimitOfRow& limit) {
            return share_water(*limit.criterion, first);
        });
    std::vector<LimitOfRow> taken(limits.begin(), others);
    limits.erase(limits.begin(), others);
    return taken;
}

std::vector<LimitOfRow> limits_of(std::span<const Criterion> criteria, std::string_view subject,
                                  bool negative_end, Oxygen oxygen) {
    std::vector<LimitOfRow> limits;
    for (const Criterion& c : criteria) {
        const std::optional<double> limit_mv = end_of(c, negative_end);
        if (!limit_mv || !c.scale || group_of(c.subject) != subject || !applies(c, oxygen))
            continue;
        if (const auto offset = standard_offset(*c.scale, Water{}))
            limits.push_back({&c, *limit_mv + offset->offset_mv.computed_mv});
    }
    return limits;
}

} // namespace

std::vector<Disagreement> disagreements_in(std::span<const Criterion> criteria) {
    std::vector<std::string_view> subjects;
    for (const Criterion& c : criteria)
        if (std::ranges::find(subjects, group_of(c.subject)) == subjects.end())
            subjects.push_back(group_of(c.subject));

    std::vector<Disagreement> found;
    for (const std::string_view subject : subjects)
        for (const bool negative_end : {false, true})
            for (const Oxygen oxygen : {Oxygen::aerobic, Oxygen::anaerobic}) {
                auto limits = limits_of(criteria, subject, negative_end, oxygen);
                while (!limits.empty()) {
                    auto one_water = take_one_water(limits);
                    std::ranges::stable_sort(one_water, std::ranges::greater{},
                                             &LimitOfRow::standard_mv);
                    Disagreement d{std::string(subject), negative_end, oxygen,
                                   std::move(one_water)};
                    if (d.spread_mv() > same_mv) found.push_back(std::move(d));
                }
            }
    return found;
}

} // namespace quaycell

#include "protection/criterion.h"

#include <array>
#include <cstddef>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {
namespace {

/// The values of an enumeration with their names, in the order of the enumeration.
template <typename Value, std::size_t N>
struct Names {
    std::array<Value, N> values;
    std::array<std::string_view, N> names;

    std::string_view of(Value value) const { return names.at(static_cast<std::size_t>(value)); }

    Result<Value> find(std::string_view kind, std::string_view name) const {
        for (std::size_t i = 0; i < N; ++i)
            if (names[i] == name) return values[i];
        return Error{ErrorCode::wrong_usage, fmt::format("there is no {} \"{}\"", kind, name), "",
                     fmt::format("Use one of: {}", fmt::join(names, ", "))};
    }
};

constexpr Names<Hull, 5> hulls{
    {Hull::steel, Hull::aluminium, Hull::wood, Hull::grp, Hull::grp_aluminium_drive},
    {"steel", "aluminium", "wood", "grp", "grp-aluminium-drive"}};

constexpr Names<Metal, 9> metals{
    {Metal::mild_steel, Metal::high_strength_steel, Metal::stainless_austenitic,
     Metal::stainless_high_alloy, Metal::stainless_duplex, Metal::copper_alloy,
     Metal::copper_alloy_aluminium, Metal::nickel_copper, Metal::aluminium_alloy},
    {"mild-steel", "high-strength-steel", "stainless-austenitic", "stainless-high-alloy",
     "stainless-duplex", "copper-alloy", "copper-alloy-aluminium", "nickel-copper",
     "aluminium-alloy"}};

constexpr Names<CriterionKind, 4> kinds{
    {CriterionKind::absolute, CriterionKind::shift, CriterionKind::target, CriterionKind::limit},
    {"absolute", "shift", "target", "limit"}};

constexpr Names<Oxygen, 3> oxygens{{Oxygen::aerobic, Oxygen::anaerobic, Oxygen::any},
                                   {"aerobic", "anaerobic", "any"}};

} // namespace

std::string_view name_of(Hull hull) {
    return hulls.of(hull);
}

std::span<const Hull> all_hulls() {
    return hulls.values;
}

Result<Hull> hull_named(std::string_view name) {
    return hulls.find("hull", name);
}

std::string_view name_of(Metal metal) {
    return metals.of(metal);
}

std::span<const Metal> all_metals() {
    return metals.values;
}

Result<Metal> metal_named(std::string_view name) {
    return metals.find("metal", name);
}

std::string_view name_of(CriterionKind kind) {
    return kinds.of(kind);
}

Result<CriterionKind> criterion_kind_named(std::string_view name) {
    return kinds.find("kind of criterion", name);
}

std::optional<Metal> metal_of(Hull hull) {
    switch (hull) {
    case Hull::steel:
        return Metal::mild_steel;
    case Hull::aluminium:
    case Hull::grp_aluminium_drive:
        return Metal::aluminium_alloy;
    case Hull::wood:
    case Hull::grp:
        break;
    }
    return std::nullopt;
}

std::string_view name_of(Oxygen oxygen) {
    return oxygens.of(oxygen);
}

Result<Oxygen> oxygen_named(std::string_view name) {
    return oxygens.find("oxygen", name);
}

} // namespace quaycell

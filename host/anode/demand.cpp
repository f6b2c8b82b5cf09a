#include "anode/demand.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <vector>

namespace quaycell {

namespace {

constexpr std::array flows{
    FlowDensity{"still", "up to 1 m/s, no tide", {100, 200}, {5, 15}},
    FlowDensity{"tidal", "up to 1 m/s, tidal", {150, 250}, {7, 20}},
    FlowDensity{"moving", "1 to 10 m/s", {220, 350}, {11, 28}},
    FlowDensity{"fast", "10 m/s and more", {350, 500}, {18, 40}},
    FlowDensity{"ice", "among ice", {500, 750}, {35, 90}},
};

struct Docking {
    double to_months;
    Range density_ma_m2;
};
constexpr std::array dockings{Docking{18, {15, 25}}, Docking{36, {26, 45}}, Docking{60, {46, 75}}};

constexpr std::array coatings{
    CoatingBreakdown{"low", {0.01, 0.02}, {0.03, 0.03}},
    CoatingBreakdown{"medium", {0.01, 0.02}, {0.015, 0.015}},
    CoatingBreakdown{"high", {0.01, 0.02}, {0.005, 0.01}},
};

constexpr std::array forms{
    HullForm{"full", "displacement hull, long keel", 1.0},
    HullForm{"medium", "displacement hull, fin keel", 0.75},
    HullForm{"light", "planing or light hull", 0.5},
};

/// The row of that name.
template <typename Row, std::size_t count>
Result<Row> named(const std::array<Row, count>& rows, std::string_view Row::*name,
                  std::string_view wanted, std::string_view what) {
    const auto found = std::ranges::find(rows, wanted, name);
    if (found != rows.end()) return *found;
    std::vector<std::string_view> names;
    for (const Row& row : rows)
        names.push_back(row.*name);
    return Error{ErrorCode::wrong_usage, fmt::format("there is no {} \"{}\"", what, wanted), "",
                 fmt::format("Say one of {}", fmt::join(names, ", "))};
}

Range at_most_all(Range share) {
    return {std::min(share.low, 1.0), std::min(share.high, 1.0)};
}

Range after(const CoatingBreakdown& breakdown, double years) {
    return {breakdown.at_start.low + breakdown.each_year.low * years,
            breakdown.at_start.high + breakdown.each_year.high * years};
}

} // namespace

std::span<const FlowDensity> flow_densities() {
    return flows;
}

Result<FlowDensity> flow_density_named(std::string_view flow) {
    return named(flows, &FlowDensity::flow, flow, "flow");
}

Result<Range> docking_density_ma_m2(double months) {
    for (const Docking& each : dockings)
        if (months > 0 && months <= each.to_months) return each.density_ma_m2;
    return Error{
        ErrorCode::out_of_range,
        fmt::format("no current density is published for {:g} months between dockings", months), "",
        fmt::format("Give 1 to {:g} months", dockings.back().to_months)};
}

std::span<const CoatingBreakdown> coating_breakdowns() {
    return coatings;
}

Result<CoatingBreakdown> coating_breakdown_named(std::string_view durability) {
    return named(coatings, &CoatingBreakdown::durability, durability, "coating durability");
}

BareShare bare_share(const CoatingBreakdown& breakdown, double coating_age_years, double years) {
    return {at_most_all(after(breakdown, coating_age_years)),
            at_most_all(after(breakdown, coating_age_years + years / 2)),
            at_most_all(after(breakdown, coating_age_years + years))};
}

std::span<const HullForm> hull_forms() {
    return forms;
}

Result<HullForm> hull_form_named(std::string_view name) {
    return named(forms, &HullForm::name, name, "hull form");
}

double wetted_area_m2(const HullMeasures& hull, const HullForm& form) {
    return hull.waterline_m * (hull.beam_m + hull.draught_m) * form.share;
}

} // namespace quaycell

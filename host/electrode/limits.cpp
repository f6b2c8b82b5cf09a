#include "electrode/limits.h"

#include <fmt/format.h>

namespace quaycell {

Result<double> within(const Limits& limits, double value) {
    if (value >= limits.low && value <= limits.high) return value;
    return Error{ErrorCode::out_of_range,
                 fmt::format("{} {} {} is outside {} to {} {}", limits.quantity, value, limits.unit,
                             limits.low, limits.high, limits.unit),
                 "", fmt::format("Give the {} in {}", limits.quantity, limits.unit)};
}

namespace {

Result<Done> check_range(const Limits& limits, const Range& range) {
    for (const double end : {range.low, range.high})
        if (const Result<double> checked = within(limits, end); !checked) return checked.error();
    if (range.low <= range.high) return Done{};
    return Error{ErrorCode::out_of_range,
                 fmt::format("the {} runs backwards, from {} to {} {}", limits.quantity, range.low,
                             range.high, limits.unit),
                 "", "Give the lower end first"};
}

} // namespace

Result<Done> check_water(const Water& water) {
    if (const Result<double> checked = within(water_temperature_limits, water.temperature_c);
        !checked)
        return checked.error();
    return water.chloride_mg_l ? check_range(chloride_limits, *water.chloride_mg_l)
                               : check_range(salinity_limits, water.salinity_psu);
}

} // namespace quaycell

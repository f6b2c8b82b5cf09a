#include "diagnosis/interference.h"

#include "electrode/chloride.h"
#include "electrode/salinity.h"

#include <algorithm>
#include <array>

namespace quaycell {

namespace {

/// Below 15 ohm m the shift is 20 mV; from there on 1.5 mV per ohm m, no more than 300 mV.
constexpr std::array table{
    InterferenceLimit{15, 20, 0},
    InterferenceLimit{200, 0, 1.5},
    InterferenceLimit{std::numeric_limits<double>::infinity(), 300, 0},
};

} // namespace

std::span<const InterferenceLimit> interference_limits() {
    return table;
}

double interference_limit_mv(double resistivity_ohm_m) {
    const auto row =
        std::ranges::find_if(table, [resistivity_ohm_m](const InterferenceLimit& each) {
            return resistivity_ohm_m < each.below_ohm_m;
        });
    return row->constant_mv + row->mv_per_ohm_m * resistivity_ohm_m;
}

double interference_limit_mv(const Water& water) {
    const Result<Range> psu = salinity_range_of(water);
    if (!psu) return table.front().constant_mv;
    // The saltiest conducts best.
    const auto least_ohm_m = resistivity_ohm_m(psu->high, water.temperature_c);
    return least_ohm_m ? interference_limit_mv(*least_ohm_m) : table.front().constant_mv;
}

} // namespace quaycell

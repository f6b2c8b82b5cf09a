#include "judging/water_json.h"

#include "electrode/salinity.h"
#include "judging/json_text.h"

#include <boost/json.hpp>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace quaycell {

namespace json = boost::json;

namespace {

json::value range_json(const Range& range) {
    if (range.low == range.high) return rounded(range.low, 3);
    return json::array{rounded(range.low, 3), rounded(range.high, 3)};
}

std::string range_text(const Range& range) {
    if (range.low == range.high) return fmt::format("{:.4g}", range.low);
    return fmt::format("{:.4g} to {:.4g}", range.low, range.high);
}

/// Of diluted sea water; water known by its chloride may hold any other salts.
std::optional<Range> resistivity_of(const Water& water) {
    if (water.chloride_mg_l) return std::nullopt;
    const auto saltiest = resistivity_ohm_m(water.salinity_psu.high, water.temperature_c);
    const auto freshest = resistivity_ohm_m(water.salinity_psu.low, water.temperature_c);
    if (!saltiest || !freshest) return std::nullopt;
    return Range{*saltiest, *freshest};
}

} // namespace

json::value to_json(const Water& water) {
    json::object object{{"temperature_c", rounded(water.temperature_c, 2)}};
    if (water.chloride_mg_l)
        object["chloride_mg_l"] = range_json(*water.chloride_mg_l);
    else
        object["salinity_psu"] = range_json(water.salinity_psu);
    if (const auto resistivity_ohm_m = resistivity_of(water))
        object["resistivity_ohm_m"] = range_json(*resistivity_ohm_m);
    return object;
}

json::value assumed_json(const Water& water) {
    return json::array(water.assumed.begin(), water.assumed.end());
}

std::string to_text(const Water& water) {
    // A tenth of a degree moves no scale by more than 0.1 mV: more would only seem exact.
    return fmt::format("{:g} degC, {}", std::round(10 * water.temperature_c) / 10,
                       water.chloride_mg_l
                           ? "chloride " + range_text(*water.chloride_mg_l) + " mg/L"
                           : "salinity " + range_text(water.salinity_psu) + " PSU");
}

} // namespace quaycell

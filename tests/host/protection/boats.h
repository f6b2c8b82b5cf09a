// Boats and waters that the situations of these tests share.
#pragma once

#include "protection/rules.h"

#include <string>
#include <vector>

namespace quaycell {

inline Water water_between(double low_psu, double high_psu) {
    Water water;
    water.salinity_psu = {low_psu, high_psu};
    return water;
}

inline Rules rules_of(Hull hull, const std::vector<std::string>& metals = {},
                      std::string_view rule_set = "", const Water& water = Water{}) {
    return *prepare_rules(built_in_criteria(), hull, metals, rule_set, water);
}

} // namespace quaycell

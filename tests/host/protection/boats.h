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
                      const std::string& rule_set = "", const Water& water = Water{}) {
    return *prepare_rules(built_in_criteria(), {hull, metals, rule_set}, water);
}

/// A row of a made-up table, "own": `subject`, `kind` and what else it needs.
inline std::string made_up_row(const std::string& id, const std::string& subject,
                               const std::string& kind, const std::string& limits,
                               const std::string& scale = "agcl/seawater",
                               double salinity_min_psu = 5, double salinity_max_psu = 42) {
    return "[[criterion]]\nid = \"" + id + "\"\nsubject = \"" + subject + "\"\nkind = \"" + kind +
           "\"\n" + limits + "\nscale = \"" + scale +
           "\"\nsalinity_min_psu = " + std::to_string(salinity_min_psu) +
           "\nsalinity_max_psu = " + std::to_string(salinity_max_psu) +
           "\noxygen = \"any\"\nsource = \"made up\"\nstatus = \"read\"\nrule_set = \"own\"\n";
}

inline Rules made_up_rules(const std::string& rows, Hull hull,
                           const std::vector<std::string>& metals = {},
                           const Water& water = Water{}) {
    return *prepare_rules(*parse_criteria(rows, "own.toml"), {hull, metals, "own"}, water);
}

} // namespace quaycell

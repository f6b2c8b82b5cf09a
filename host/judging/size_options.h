// What is said of a sizing on the command line, and what it stands for.
#pragma once

#include "anode/sizing.h"
#include "judging/boat.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// Amounts as typed: "15" or "15-25"; empty where nothing is said.
struct SizeOptions {
    BoatOptions boat; ///< hull and water
    std::string area_m2;
    std::optional<double> waterline_m;
    std::optional<double> beam_m;
    std::optional<double> draught_m;
    std::string form;
    std::string current_density_ma_m2;
    std::string flow;
    bool coated = false;
    std::optional<double> docking_months;
    std::string coating;
    double coating_age_years = 0;
    std::string breakdown_initial;
    std::string breakdown_mean;
    std::string breakdown_final;
    std::string current_initial_a;
    std::string current_mean_a;
    std::string current_final_a;
    double years = 0;
    std::string alloy;
    std::string capacity_ah_kg;
    std::optional<double> utilisation;
    double mass_kg = 0;
    double length_m = 0;
    double width_m = 0;
    std::optional<double> thickness_m;
    std::string shape;
    std::string resistivity_ohm_m;
    std::string driving_mv;
    bool insist = false;
};

void add_size_options(CLI::App& command, SizeOptions& options);

} // namespace quaycell

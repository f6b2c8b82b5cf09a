#include "judging/size_options.h"

#include <CLI/CLI.hpp>

namespace quaycell {

void add_size_options(CLI::App& command, SizeOptions& options) {
    add_hull_options(command, options.boat);
    const auto text = [&command](const char* name, std::string& into, const char* unit,
                                 const char* what, const char* group) {
        command.add_option(name, into, what)->type_name(unit)->group(group);
    };
    const auto number = [&command](const char* name, auto& into, const char* unit, const char* what,
                                   const char* group) {
        return command.add_option(name, into, what)->type_name(unit)->group(group);
    };
    constexpr const char* metal = "The metal (amounts may be ranges, 15-25)";
    text("--area-m2", options.area_m2, "M2", "Immersed metal", metal);
    number("--waterline-m", options.waterline_m, "M", "A metal hull in place of an area: length",
           metal);
    number("--beam-m", options.beam_m, "M", "Its beam", metal);
    number("--draught-m", options.draught_m, "M", "Its draught", metal);
    text("--form", options.form, "FORM",
         "full (long keel), medium (fin keel) or light (planing): rule of thumb", metal);
    text("--current-density-ma-m2", options.current_density_ma_m2, "MA_M2", "Where it is bare",
         metal);
    text("--flow", options.flow, "FLOW",
         "In place of a density: still, tidal, moving (1 to 10 m/s), fast or ice", metal);
    command.add_flag("--coated", options.coated, "With --flow: the area is soundly coated")
        ->group(metal);
    number("--docking-months", options.docking_months, "N",
           "In place of a density: a coated hull, months between dockings", metal);
    text("--coating", options.coating, "DURABILITY",
         "What of it is bare: low, medium or high durability", metal);
    number("--coating-age-years", options.coating_age_years, "N", "Its age at the beginning", metal)
        ->check(CLI::Range(0.0, 100.0));
    text("--breakdown-initial", options.breakdown_initial, "SHARE",
         "In place of --coating: the bare share at first", metal);
    text("--breakdown-mean", options.breakdown_mean, "SHARE", "On average", metal);
    text("--breakdown-final", options.breakdown_final, "SHARE", "In the end", metal);
    text("--current-initial-a", options.current_initial_a, "A",
         "In place of area and density: the current at first", metal);
    text("--current-mean-a", options.current_mean_a, "A", "On average", metal);
    text("--current-final-a", options.current_final_a, "A", "In the end", metal);

    constexpr const char* anode = "The anode";
    number("--years", options.years, "N", "How long it is to last", anode)->required();
    text("--alloy", options.alloy, "ALLOY", "zinc, aluminium or magnesium", anode);
    text("--capacity-ah-kg", options.capacity_ah_kg, "AH_KG", "Else that of the alloy", anode);
    number("--utilisation", options.utilisation, "SHARE", "Else that of the form", anode);
    number("--mass-kg", options.mass_kg, "KG", "Of one, new, without its core", anode)->required();
    number("--length-m", options.length_m, "M", "", anode)->required();
    number("--width-m", options.width_m, "M",
           "Of a round bar its diameter, of a bracelet its girth", anode)
        ->required();
    number("--thickness-m", options.thickness_m, "M", "Else a bar is round, a plate flat", anode);
    text("--shape", options.shape, "SHAPE", "stand-off (0.3 m at least), flush or bracelet", anode);
    command.get_option("--alloy")->required();
    command.get_option("--shape")->required();
    text("--resistivity-ohm-m", options.resistivity_ohm_m, "OHM_M", "Else that of the water",
         anode);
    text("--driving-mv", options.driving_mv, "MV", "Else from the hull's band to the alloy at work",
         anode);
    command
        .add_flag("--insist", options.insist,
                  "Compute an alloy that is dangerous there all the same")
        ->group(anode);
}

} // namespace quaycell

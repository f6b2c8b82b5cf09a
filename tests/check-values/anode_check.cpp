// Anodes against the worked examples of a handbook and of a ship.
#include "anode/alloy.h"
#include "anode/amounts.h"
#include "anode/resistance.h"
#include "anode/sizing.h"
#include "check_values.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

// Of their definitions.
constexpr double inch_m = 0.0254;
constexpr double foot2_m2 = 0.09290304;
constexpr double pound_kg = 0.45359237;
constexpr double cm_m = 0.01;

double rod_ohm(const CheckRow& row) {
    const AnodeShape rod{Mounting::stand_off, input_of(row, "length_in") * inch_m,
                         input_of(row, "diameter_in") * inch_m};
    return resistance_ohm(rod, input_of(row, "resistivity_ohm_cm") * cm_m);
}

AnodeShape plate_of(const CheckRow& row) {
    return {Mounting::flush, input_of(row, "length_m"), input_of(row, "width_m"),
            input_of(row, "thickness_m")};
}

double plate_ohm(const CheckRow& row) {
    return resistance_ohm(plate_of(row), input_of(row, "resistivity_ohm_m"));
}

double plate_a(const CheckRow& row) {
    constexpr double mv_a_volt = 1000;
    return input_of(row, "driving_mv") / mv_a_volt / plate_ohm(row);
}

double demand_a(double area_m2, double density_ma_m2, double bare) {
    return demand_of(exactly(area_m2), exactly(density_ma_m2),
                     {exactly(bare), exactly(bare), exactly(bare)})
        .mean.low;
}

double by_feet_a(const CheckRow& row) {
    return demand_a(input_of(row, "area_ft2") * foot2_m2,
                    input_of(row, "density_ma_ft2") / foot2_m2, input_of(row, "bare"));
}

double mass_kg(const CheckRow& row) {
    return mass_for(exactly(input_of(row, "current_a")), input_of(row, "years"),
                    exactly(input_of(row, "capacity_ah_kg")), input_of(row, "utilisation"))
        .low;
}

/// Consumption is capacity and utilisation in one.
double mass_lb(const CheckRow& row) {
    const double ah_kg = hours_a_year / (input_of(row, "lb_a_year") * pound_kg);
    return mass_for(exactly(input_of(row, "current_a")), input_of(row, "years"), exactly(ah_kg), 1)
               .low /
           pound_kg;
}

double spent_length_m(const CheckRow& row) {
    return spent_shape(plate_of(row), input_of(row, "left_kg"),
                       facts_of(Alloy::aluminium).density_kg_m3)
        .length_m;
}

} // namespace

TEST_CASE("Anodes come out as in the worked examples") {
    const int held = hold_to_published(
        "anode-published.csv",
        {{"rod resistance", rod_ohm},
         {"current by feet", by_feet_a},
         {"mass by pounds", mass_lb},
         {"current",
          [](const CheckRow& row) {
              return demand_a(input_of(row, "area_m2"), input_of(row, "density_ma_m2"),
                              input_of(row, "bare"));
          }},
         {"mass", mass_kg},
         {"count by mass",
          [](const CheckRow& row) { return mass_kg(row) / input_of(row, "mass_kg"); }},
         {"plate equivalent radius",
          [](const CheckRow& row) { return equivalent_radius_m(plate_of(row)); }},
         {"plate resistance", plate_ohm},
         {"plate current", plate_a},
         {"count by first current",
          [](const CheckRow& row) { return input_of(row, "current_a") / plate_a(row); }},
         {"spent length", spent_length_m}},
        {{"resistance by coefficient", "the program computes the resistance from the measures"},
         {"count by whole current", "the handbook rounds down, the program rounds up"}});
    CHECK(held == 18);
}

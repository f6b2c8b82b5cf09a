// Conformity, conversions by hand and the galvanic series against values from elsewhere.
#include "check_values.h"
#include "diagnosis/galvanic_series.h"
#include "electrode/scale.h"
#include "protection/verdict.h"
#include "series/least_squares.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

/// Probability of lying in the band, of a normal distribution.
double in_band(const Band& band, double y, double standard) {
    return probability_in(band, y, coverage_factor * standard).protected_;
}

/// GUM H.3: readings of a thermometer and its corrections, with the temperatures from `zero_c` on.
LeastSquares thermometer(double zero_c) {
    const Eigen::VectorXd reading_c{
        {21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}};
    const Eigen::VectorXd correction_c{
        {-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}};
    Eigen::MatrixXd design(reading_c.size(), 2);
    design.col(0).setOnes();
    design.col(1) = reading_c.array() - zero_c;
    return least_squares(design, correction_c);
}

Computed of_thermometer(double zero_c, double (*pick)(const LeastSquares&)) {
    return [zero_c, pick](const CheckRow&) { return pick(thermometer(zero_c)); };
}

Computed conversion(Scale from, Scale to, Constants constants) {
    return [=](const CheckRow& row) {
        Water water;
        water.temperature_c = input_of(row, "t");
        water.salinity_psu = {input_of(row, "SP"), input_of(row, "SP")};
        return *convert_mv(input_of(row, "potential"), from, to, water, constants);
    };
}

/// Every "computed A to B" and "handbook A to B".
std::map<std::string, Computed, std::less<>> all_conversions() {
    std::map<std::string, Computed, std::less<>> all;
    for (const ScaleFacts& from : all_scales())
        for (const ScaleFacts& to : all_scales())
            for (const Constants constants : {Constants::computed, Constants::handbook}) {
                const char* kind = constants == Constants::computed ? "computed " : "handbook ";
                all[kind + std::string(from.name) + " to " + std::string(to.name)] =
                    conversion(*scale_named(from.name), *scale_named(to.name), constants);
            }
    all["chloride shift"] = [](const CheckRow& row) {
        Water water;
        water.temperature_c = input_of(row, "t");
        water.salinity_psu = {input_of(row, "SP"), input_of(row, "SP")};
        return *chloride_correction_mv(water);
    };
    return all;
}

Range range_of(const CheckRow& row) {
    const auto metal =
        std::ranges::find(galvanic_series(), input_text(row, "metal"), &FreePotential::metal);
    REQUIRE_MESSAGE(metal != galvanic_series().end(), input_text(row, "metal"));
    return metal->potential_mv;
}

} // namespace

TEST_CASE("Probabilities of conformity and a straight line's uncertainty are those of the guides") {
    const int held = hold_to_published(
        "uncertainty-published.csv",
        {{"conformance_above_negative_limit",
          [](const CheckRow& row) {
              return in_band({input_of(row, "limit"), {}}, input_of(row, "y"), input_of(row, "u"));
          }},
         {"conformance_between",
          [](const CheckRow& row) {
              return in_band({input_of(row, "high"), input_of(row, "low")}, input_of(row, "y"),
                             input_of(row, "u"));
          }},
         {"false_accept_at_guard_band",
          [](const CheckRow& row) {
              return 1 - in_band({0, {}}, -input_of(row, "k"), 1);
          }},
         {"h3_intercept",
          of_thermometer(20, [](const LeastSquares& f) { return f.coefficient(0); })},
         {"h3_intercept_error",
          of_thermometer(20, [](const LeastSquares& f) { return f.standard_error(0); })},
         {"h3_slope", of_thermometer(20, [](const LeastSquares& f) { return f.coefficient(1); })},
         {"h3_slope_error",
          of_thermometer(20, [](const LeastSquares& f) { return f.standard_error(1); })},
         {"h3_deviation",
          of_thermometer(20, [](const LeastSquares& f) { return f.residual_deviation; })},
         {"h3_at_30", of_thermometer(30, [](const LeastSquares& f) { return f.coefficient(0); })},
         {"h3_at_30_error",
          of_thermometer(30, [](const LeastSquares& f) { return f.standard_error(0); })}},
        {{"consumer_risk", "of a whole production; the program judges one reading"},
         {"producer_risk", "of a whole production; the program judges one reading"},
         {"h3_correlation", "the fit tells no covariance; that at 30 degC needs it right"}});
    CHECK(held == 14);
}

TEST_CASE("Conversions are those that the rounded and the recommended constants give by hand") {
    CHECK(hold_to_published("handbook-conversions.csv", all_conversions(), {}) == 16);
}

TEST_CASE("The galvanic series lies where two published ones do") {
    const int held = hold_to_published(
        "galvanic-series.csv",
        {{"middle of the range", [](const CheckRow& row) { return range_of(row).middle(); }},
         {"beyond the range",
          [](const CheckRow& row) {
              const Range range = range_of(row);
              return std::clamp(number_in(row, "value"), range.low, range.high);
          }}},
        {{"middle where the series disagree",
          "90 mV apart; the program takes the boat builders' series, beside which another one has "
          "-550 mV"}});
    CHECK(held == 42);
}

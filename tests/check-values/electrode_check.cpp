// The program against values that it did not compute.
#include "check_values.h"
#include "electrode/activity.h"
#include "electrode/chloride.h"
#include "electrode/open_element.h"
#include "electrode/salinity.h"
#include "electrode/scale.h"

#include <cmath>
#include <doctest/doctest.h>
#include <functional>
#include <map>
#include <string>

using namespace quaycell;

namespace {

/// Temperatures of practical salinity were printed on the scale of 1968.
double from_ipts_68(double t68) {
    return t68 / 1.00024;
}

Computed reference_of(Scale scale) {
    return [scale](const CheckRow& row) {
        Water water;
        water.temperature_c = input_of(row, "t");
        return *reference_vs_she_mv(scale, water) / 1000;
    };
}

Computed activity_of(Salt salt) {
    return [salt](const CheckRow& row) {
        return mean_activity_coefficient(salt, input_of(row, "m"), input_of(row, "t"));
    };
}

Computed parameter(double (*pick)(const PitzerParameters&)) {
    return [pick](const CheckRow& row) {
        return pick(pitzer_parameters(Salt::sodium_chloride, input_of(row, "t")));
    };
}

/// How the program computes each quantity of electrode-published.csv, in the unit of the row.
const std::map<std::string, Computed, std::less<>> computed_quantities{
    {"E0_AgAgCl",
     [](const CheckRow& row) { return silver_chloride_standard_mv(input_of(row, "t")) / 1000; }},
    {"A_phi", [](const CheckRow& row) { return debye_hueckel_slope(input_of(row, "t")); }},
    {"beta0_NaCl", parameter([](const PitzerParameters& p) { return p.beta0; })},
    {"beta1_NaCl", parameter([](const PitzerParameters& p) { return p.beta1; })},
    {"Cphi/2*1e3_NaCl", parameter([](const PitzerParameters& p) { return p.c_phi / 2 * 1e3; })},
    {"gamma_NaCl", activity_of(Salt::sodium_chloride)},
    {"gamma_KCl", activity_of(Salt::potassium_chloride)},
    {"gamma_mean_NaCl",
     [](const CheckRow& row) {
         return mean_activity_coefficient(Salt::sodium_chloride,
                                          chloride_of_salinity(input_of(row, "SP"))->ionic_strength,
                                          input_of(row, "t"));
     }},
    {"m_Cl",
     [](const CheckRow& row) { return chloride_of_salinity(input_of(row, "SP"))->molality; }},
    {"C(35,15_t68,0)",
     [](const CheckRow&) { return *conductivity_from_salinity(35, from_ipts_68(15)); }},
    {"SP_from_C",
     [](const CheckRow& row) {
         return practical_salinity(input_of(row, "C") / standard_conductivity_ms_cm,
                                   input_of(row, "t90"), input_of(row, "p"));
     }},
    {"S_PSS78",
     [](const CheckRow& row) {
         return practical_salinity(input_of(row, "R"), from_ipts_68(input_of(row, "t68")),
                                   input_of(row, "p"));
     }},
    {"E_AgAgCl_0.1M_KCl", reference_of(Scale::agcl_kcl_0_1)},
    {"E_AgAgCl_1M_KCl", reference_of(Scale::agcl_kcl_1)},
    {"E_AgAgCl_3M_KCl", reference_of(Scale::agcl_kcl_3)},
    {"E_AgAgCl_3.5M_KCl_LJ", reference_of(Scale::agcl_kcl_3_5)},
    {"E_AgAgCl_satKCl", reference_of(Scale::agcl_kcl_sat)},
    {"E_SCE", reference_of(Scale::sce)},
    {"E_CSE", reference_of(Scale::cse)},
    {"E_Zn_seawater", reference_of(Scale::zinc)},
};

const std::map<std::string, std::string, std::less<>> skipped_quantities{
    {"gamma_Cl_pitzer_conv", "single-ion convention that the program does not use"},
    {"gamma_Na_pitzer_conv", "single-ion convention that the program does not use"},
    {"rho_EOS80", "the program computes no density"},
    {"E_calomel_0.1M_LJ", "no such scale"},
    {"E_calomel_3.5M_LJ", "no such scale"},
    {"E_SCE_LJ", "with liquid junction; our sce is without, 3 mV apart"},
    {"E_AgAgCl_satKCl_LJ", "with liquid junction; our agcl/kcl-sat is without, 2 mV apart"},
};

} // namespace

TEST_CASE("Every published value that the program has a quantity for is met within its tolerance") {
    CHECK(hold_to_published("electrode-published.csv", computed_quantities, skipped_quantities) ==
          98);
}

TEST_CASE("The open element agrees with an independent model of the sea water mixture") {
    double worst_macinnes_mv = 0;
    double worst_mean_mv = 0;
    double worst_own_mv = 0;
    for (const CheckRow& row : check_rows("electrode-pitzer.csv")) {
        INFO("S " << row.at("SP") << ", " << row.at("t_C") << " degC");
        const Chloride chloride = *chloride_of_salinity(number_in(row, "SP"));
        const double t = number_in(row, "t_C");
        const double macinnes_mv = *open_element_vs_she_mv(chloride, t);
        const double mean_mv =
            *open_element_vs_she_mv(chloride, t, ChlorideActivity::mean_sodium_chloride);
        const auto off = [&](double value_mv, std::string_view column) {
            return std::abs(value_mv - number_in(row, column));
        };
        CHECK(off(macinnes_mv, "E_mac_pytzer_mV") < 0.05);
        CHECK(off(mean_mv, "E_mean_seawater_pytzer_mV") < 0.15);
        CHECK(off(macinnes_mv, "E_mac_mV") < 0.001);
        CHECK(off(mean_mv, "E_mean_mV") < 0.001);
        worst_macinnes_mv = std::max(worst_macinnes_mv, off(macinnes_mv, "E_mac_pytzer_mV"));
        worst_mean_mv = std::max(worst_mean_mv, off(mean_mv, "E_mean_seawater_pytzer_mV"));
        worst_own_mv = std::max(worst_own_mv, off(macinnes_mv, "E_mac_mV"));
    }
    MESSAGE("worst against the mixture model: " << worst_macinnes_mv << " mV by MacInnes, "
                                                << worst_mean_mv << " mV by the mean; against the "
                                                << "same equations elsewhere " << worst_own_mv
                                                << " mV");
}

TEST_CASE("Salinity and conductivity agree with the TEOS-10 library both ways") {
    for (const CheckRow& row : check_rows("conductivity-gsw.csv")) {
        const double salinity = number_in(row, "SP");
        const double t = number_in(row, "t_C");
        const double conductivity = number_in(row, "C_mScm");
        INFO("S " << salinity << ", " << t << " degC");
        const double computed =
            practical_salinity(conductivity / standard_conductivity_ms_cm, t, 0);
        // The table prints nine decimals of the conductivity: half a digit of it, and 1e-9.
        const double printed = 0.5e-9 * salinity / conductivity;
        CHECK(std::abs(computed - salinity) < 1e-9 + 2 * printed);
        CHECK(*conductivity_from_salinity(salinity, t) ==
              doctest::Approx(conductivity).epsilon(1e-8));
        CHECK(
            std::abs(*resistivity_ohm_m(salinity, t) * 100 - number_in(row, "resistivity_ohmcm")) <
            1e-6 + 1e-8 * number_in(row, "resistivity_ohmcm"));
    }
}

#include "electrode/conversion_parts.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Water water_of(double salinity_psu, double temperature_c) {
    Water water;
    water.temperature_c = temperature_c;
    water.salinity_psu = {salinity_psu, salinity_psu};
    return water;
}

std::vector<std::string> names_of(const std::vector<ConversionPart>& parts) {
    std::vector<std::string> names;
    for (const ConversionPart& part : parts)
        names.push_back(part.name);
    return names;
}

} // namespace

TEST_CASE("The parts of a conversion add up to it, for every pair of scales") {
    const Water water = water_of(7, 4);
    for (const Constants constants : {Constants::computed, Constants::handbook})
        for (const ChlorideActivity activity :
             {ChlorideActivity::macinnes, ChlorideActivity::mean_sodium_chloride})
            for (const ScaleFacts& from : all_scales())
                for (const ScaleFacts& to : all_scales()) {
                    INFO(from.name << " to " << to.name);
                    double sum = 0;
                    const auto parts =
                        conversion_parts(from.scale, to.scale, water, constants, activity);
                    for (const ConversionPart& part : *parts)
                        sum += part.added_mv;
                    const double whole =
                        *convert_mv(0, from.scale, to.scale, water, constants, activity);
                    CHECK(sum == doctest::Approx(whole).epsilon(1e-12));
                }
}

TEST_CASE("A bare element gets scale, temperature and chloride; other cells no chloride") {
    const Water water = water_of(10, 5);
    CHECK(names_of(*conversion_parts(Scale::agcl_open, Scale::sce, water)) ==
          std::vector<std::string>{"scale", "temperature", "chloride"});
    CHECK(names_of(*conversion_parts(Scale::agcl_seawater, Scale::cse, water)) ==
          std::vector<std::string>{"scale", "temperature"});
    CHECK(conversion_parts(Scale::sce, Scale::sce, water)->empty());
}

TEST_CASE("Rounded constants know no temperature") {
    CHECK(names_of(*conversion_parts(Scale::agcl_open, Scale::cse, water_of(10, 5),
                                     Constants::handbook)) ==
          std::vector<std::string>{"scale", "chloride"});
}

TEST_CASE("The chloride part is the criterion normalisation, at the same temperature") {
    // From salinity 35 to 10 the element rises by 28.46 - 0 mV at 15 degC: computed independently,
    // 282.70 - 254.50.
    const auto parts = *conversion_parts(Scale::agcl_open, Scale::agcl_seawater, water_of(10, 15));
    CHECK(parts.front().added_mv == doctest::Approx(0));
    CHECK(parts.back().added_mv == doctest::Approx(282.70 - 254.50).epsilon(5e-4));
    CHECK(parts.back().added_mv ==
          doctest::Approx(*chloride_correction_mv(water_of(10, 15))).epsilon(1e-12));
}

TEST_CASE("Water out of range is refused with the range") {
    const auto parts = conversion_parts(Scale::agcl_open, Scale::sce, water_of(43, 5));
    REQUIRE_FALSE(parts);
    CHECK(parts.error().what == "salinity 43 PSU is outside 0.05 to 42 PSU");
}

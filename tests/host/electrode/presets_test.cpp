#include "electrode/presets.h"

#include "electrode/limits.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("The Venice system puts brackish water between 0.5 and 30 PSU") {
    const auto brackish = water_preset_named("brackish");
    REQUIRE(brackish);
    CHECK(brackish->salinity_psu.low == 0.5);
    CHECK(brackish->salinity_psu.high == 30);
}

TEST_CASE("Every kind of water lies in the range of the equations") {
    for (const WaterPreset& preset : all_water_presets()) {
        INFO(preset.name);
        Water water;
        water.salinity_psu = preset.salinity_psu;
        CHECK(check_water(water));
    }
}

TEST_CASE("Water of which nothing is said is sea water") {
    CHECK(Water{}.salinity_psu.low == water_preset_named("sea")->salinity_psu.low);
    CHECK(Water{}.salinity_psu.high == water_preset_named("sea")->salinity_psu.high);
}

TEST_CASE("An unknown kind of water is refused with the known ones") {
    const auto error = water_preset_named("swamp").error();
    CHECK(error.code == ErrorCode::wrong_usage);
    CHECK(error.what == "there is no kind of water \"swamp\"");
    CHECK(error.remedy == "Use one of: sea, brackish, fresh");
}

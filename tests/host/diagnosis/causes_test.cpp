#include "diagnosis/causes.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;

namespace {

Water water_of(double psu) {
    Water water;
    water.salinity_psu = {psu, psu};
    return water;
}

std::vector<Cause> causes(Hull hull, double potential_mv, double psu = 35,
                          const std::vector<std::string>& alloys = {}) {
    const Rules rules = *prepare_rules(built_in_criteria(), {hull, {}}, water_of(psu));
    return causes_of(judge(rules, potential_mv, 12), {hull, alloys, water_of(psu)});
}

const Cause* named(const std::vector<Cause>& all, std::string_view id) {
    const auto found = std::ranges::find(all, id, &Cause::id);
    return found == all.end() ? nullptr : &*found;
}

bool says(const std::vector<Cause>& all, std::string_view id, std::string_view words) {
    const Cause* cause = named(all, id);
    return cause != nullptr && cause->why.find(words) != std::string::npos;
}

} // namespace

TEST_CASE("A plastic hull at -300 mV shows its bronze as if nothing protected it") {
    CHECK(says(causes(Hull::grp, -300), "free-corrosion", "manganese bronze"));
    CHECK_FALSE(named(causes(Hull::grp, -300), "too-few-anodes"));
}

TEST_CASE("A steel hull at -650 mV shows bare steel; at -790 mV its anodes do too little") {
    CHECK(says(causes(Hull::steel, -650), "free-corrosion", "mild steel"));
    CHECK(says(causes(Hull::steel, -790), "too-few-anodes", "spent, painted over or too few"));
    // Aluminium alloys lie there too, but nobody touches aluminium on a steel hull.
    CHECK_FALSE(named(causes(Hull::steel, -790), "free-corrosion"));
}

TEST_CASE("A steel hull at -500 mV is drawn up: nobler metal, or a current that leaves it") {
    CHECK(says(causes(Hull::steel, -500), "drawn-positive", "direct current"));
}

TEST_CASE("A reading of +610 mV has its leads swapped") {
    const auto found = causes(Hull::steel, 610);
    REQUIRE(found.size() == 1);
    CHECK(found.front().id == "leads-swapped");
}

TEST_CASE("Beyond what zinc and aluminium hold, magnesium or a current takes part") {
    CHECK(named(causes(Hull::aluminium, -1200), "magnesium-in-salt-water"));
    CHECK(says(causes(Hull::aluminium, -1200, 35, {"magnesium"}), "magnesium-in-salt-water",
               "vessel file lists magnesium"));
    CHECK_FALSE(named(causes(Hull::aluminium, -1050), "magnesium-in-salt-water"));
}

TEST_CASE("A wooden hull at -700 mV has more anode than it needs, not magnesium") {
    const auto found = causes(Hull::wood, -700);
    CHECK(named(found, "too-many-anodes"));
    CHECK_FALSE(named(found, "magnesium-in-salt-water"));
}

TEST_CASE("Zinc anodes in brackish water are the wrong alloy, in sea water they are not") {
    CHECK(named(causes(Hull::steel, -700, 12, {"zinc"}), "wrong-alloy"));
    CHECK_FALSE(named(causes(Hull::steel, -700, 35, {"zinc"}), "wrong-alloy"));
    CHECK_FALSE(named(causes(Hull::steel, -700, 12, {"aluminium"}), "wrong-alloy"));
}

TEST_CASE("A protected boat needs no cause") {
    CHECK(causes(Hull::steel, -950).empty());
    CHECK(causes(Hull::grp, -700).empty());
}

TEST_CASE("In fresh water the galvanic series of the sea is not used") {
    const auto found = causes(Hull::steel, -650, 0.2);
    CHECK_FALSE(named(found, "free-corrosion"));
    CHECK_FALSE(named(found, "too-few-anodes"));
}

TEST_CASE("Of a trace without a verdict, whose potential is not a number, nothing is guessed") {
    Judgement judgement;
    judgement.potential_mv = std::numeric_limits<double>::quiet_NaN();
    CHECK(causes_of(judgement, {Hull::steel, {"magnesium"}, Water{}}).empty());
}

TEST_CASE("Every cause says where it comes from and how that came here") {
    for (double potential_mv = -1700; potential_mv < 340; potential_mv += 10)
        for (const Hull hull : all_hulls())
            for (const Cause& cause : causes(hull, potential_mv, 35, {"zinc", "magnesium"})) {
                CHECK_FALSE(cause.source.empty());
                CHECK_FALSE(cause.status.empty());
            }
}

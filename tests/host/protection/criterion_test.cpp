#include "protection/criterion.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

const Criterion& row(std::string_view id) {
    const auto& all = built_in_criteria();
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const Criterion& c) { return c.id == id; });
    REQUIRE_MESSAGE(found != all.end(), id);
    return *found;
}

} // namespace

TEST_CASE("The small-craft table has the band of every hull") {
    struct Printed {
        const char* id;
        const char* hull;
        double protected_from_mv;
        double over_at_mv;
    };
    for (const Printed& printed :
         {Printed{"abyc_steel", "steel", -850, -1100}, Printed{"abyc_al", "aluminium", -950, -1100},
          Printed{"abyc_wood", "wood", -550, -600}, Printed{"abyc_frp", "grp", -550, -1100},
          Printed{"abyc_nonmet_al", "grp-aluminium-drive", -950, -1100}}) {
        INFO(printed.id);
        const Criterion& c = row(printed.id);
        CHECK(c.subject == printed.hull);
        CHECK(*c.protected_from_mv == printed.protected_from_mv);
        CHECK(*c.over_at_mv == printed.over_at_mv);
        CHECK(*c.scale == Scale::agcl_seawater);
        CHECK(c.rule_set == "small-craft");
    }
}

TEST_CASE("High-strength steel is protected from -800 and over-protected beyond -950 mV") {
    CHECK(*row("en_hss").protected_from_mv == -800);
    CHECK(*row("en_hss").over_at_mv == -950);
}

TEST_CASE("No negative limit is published for duplex steel, and its row says so") {
    CHECK_FALSE(row("en_duplex").over_at_mv);
    CHECK(row("en_duplex").note.find("case by case") != std::string::npos);
}

TEST_CASE("Every row says where it comes from, and sea-water rows that 5 PSU is our judgement") {
    for (const Criterion& c : built_in_criteria()) {
        INFO(c.id);
        CHECK_FALSE(c.source.empty());
        const bool known_status = c.status.starts_with("read") ||
                                  c.status.starts_with("transcribed") ||
                                  c.status.starts_with("from memory");
        CHECK(known_status);
        if (c.kind == CriterionKind::shift || c.rule_set == "fresh-water") continue;
        CHECK(c.salinity_min_psu == 5);
        if (!c.background) CHECK(c.note.find("our judgement") != std::string::npos);
    }
}

TEST_CASE("Rows of weak authority belong to no rule set") {
    for (const Criterion& c : built_in_criteria())
        if (c.background) CHECK(c.rule_set.empty());
    CHECK(row("trade_frp_inb").background);
}

TEST_CASE("The shifts are 200 and 100 mV and have no scale") {
    CHECK(*row("shift_200").protected_from_mv == -200);
    CHECK(*row("shift_100").protected_from_mv == -100);
    CHECK_FALSE(row("shift_200").scale);
}

TEST_CASE("Hulls and metals are found by name") {
    for (const Hull hull : all_hulls())
        CHECK(*hull_named(name_of(hull)) == hull);
    for (const Metal metal : all_metals())
        CHECK(*metal_named(name_of(metal)) == metal);
}

TEST_CASE("An unknown hull or metal is refused with the known ones") {
    const auto hull = hull_named("concrete").error();
    CHECK(hull.code == ErrorCode::wrong_usage);
    CHECK(hull.what == "there is no hull \"concrete\"");
    CHECK(hull.remedy == "Use one of: steel, aluminium, wood, grp, grp-aluminium-drive");
    CHECK(metal_named("unobtainium").error().remedy.find("stainless-duplex") != std::string::npos);
}

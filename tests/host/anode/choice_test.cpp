#include "anode/choice.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

constexpr Range sea{30, 40};
constexpr Range brackish{0.5, 30};
constexpr Range fresh{0.05, 0.5};
constexpr Range river_to_sea{0.1, 35};

AlloyChoice of(Alloy alloy, Hull hull, Range salinity_psu,
               const std::vector<std::string>& metals = {}) {
    const auto choices = choose_alloy({hull, metals, salinity_psu}, {});
    return *std::ranges::find(choices, alloy, &AlloyChoice::alloy);
}

Alloy first_for(Hull hull, Range salinity_psu) {
    return choose_alloy({hull, {}, salinity_psu}, {}).front().alloy;
}

} // namespace

TEST_CASE("each water has its alloy") {
    // The table of practice: sea zinc or aluminium, brackish aluminium, fresh magnesium.
    CHECK(of(Alloy::zinc, Hull::steel, sea).fitness == Fitness::first);
    CHECK(of(Alloy::aluminium, Hull::steel, sea).fitness == Fitness::first);
    CHECK(first_for(Hull::steel, brackish) == Alloy::aluminium);
    CHECK(first_for(Hull::steel, fresh) == Alloy::magnesium);
    CHECK(of(Alloy::aluminium, Hull::steel, fresh).fitness == Fitness::second);
}

TEST_CASE("between river and sea aluminium is left") {
    CHECK(first_for(Hull::grp, river_to_sea) == Alloy::aluminium);
    CHECK(of(Alloy::zinc, Hull::grp, river_to_sea).fitness == Fitness::useless);
    CHECK(of(Alloy::magnesium, Hull::grp, river_to_sea).fitness == Fitness::dangerous);
}

TEST_CASE(
    "magnesium is dangerous wherever the water may be salt, above all to aluminium and wood") {
    for (const Hull hull : all_hulls()) {
        CHECK(is_dangerous(Alloy::magnesium, {hull, {}, sea}));
        CHECK(is_dangerous(Alloy::magnesium, {hull, {}, brackish}));
        CHECK_FALSE(is_dangerous(Alloy::magnesium, {hull, {}, fresh}));
        CHECK_FALSE(is_dangerous(Alloy::zinc, {hull, {}, sea}));
    }
    const auto says = [](const AlloyChoice& choice, std::string_view word) {
        return std::ranges::any_of(choice.reasons, [&](const AlloyReason* reason) {
            return reason->text.find(word) != std::string_view::npos;
        });
    };
    CHECK(says(of(Alloy::magnesium, Hull::wood, sea), "wood"));
    CHECK(says(of(Alloy::magnesium, Hull::aluminium, sea), "alkali"));
    CHECK(says(of(Alloy::magnesium, Hull::steel, sea, {"aluminium-alloy"}), "alkali"));
    CHECK_FALSE(says(of(Alloy::magnesium, Hull::steel, sea), "alkali"));
}

TEST_CASE("what hydrogen cracks is warned of, and magnesium is no first choice beside it") {
    const auto warns = [](const AlloyChoice& choice) {
        return std::ranges::any_of(choice.reasons, [](const AlloyReason* reason) {
            return reason->text.find("hydrogen may crack") != std::string_view::npos;
        });
    };
    for (const char* metal : {"high-strength-steel", "stainless-duplex"}) {
        const auto magnesium = of(Alloy::magnesium, Hull::grp, fresh, {metal});
        CHECK(magnesium.fitness == Fitness::second);
        CHECK(warns(magnesium));
        // Both reach beyond -950 mV (ABS Guidance Notes 2017, 2, Table 1).
        CHECK(warns(of(Alloy::zinc, Hull::grp, sea, {metal})));
        CHECK(warns(of(Alloy::aluminium, Hull::grp, sea, {metal})));
        CHECK(of(Alloy::zinc, Hull::grp, sea, {metal}).fitness == Fitness::first);
        CHECK(of(Alloy::magnesium, Hull::grp, sea, {metal}).fitness == Fitness::dangerous);
    }
    CHECK_FALSE(warns(of(Alloy::magnesium, Hull::grp, fresh, {"mild-steel"})));
}

TEST_CASE("every alloy has a reason in every water, with its source") {
    for (const Range salinity_psu : {sea, brackish, fresh, river_to_sea, Range{0.2, 4}})
        for (const Hull hull : all_hulls())
            for (const AlloyChoice& choice : choose_alloy({hull, {}, salinity_psu}, {}))
                CHECK_FALSE(choice.reasons.empty());
    for (const AlloyReason& reason : all_alloy_reasons()) {
        CHECK_FALSE(reason.source.empty());
        CHECK_FALSE(reason.status.empty());
    }
}

TEST_CASE("what reaches beyond the hull's band is said") {
    // Aluminium hull, -1100 mV at most: magnesium at -1500 can, zinc at -1030 cannot.
    const Band aluminium{-900, -1100};
    for (const AlloyChoice& choice : choose_alloy({Hull::aluminium, {}, sea}, aluminium))
        CHECK(choice.reaches_beyond_band == (choice.alloy == Alloy::magnesium));
    for (const AlloyChoice& choice : choose_alloy({Hull::steel, {}, sea}, {-800, std::nullopt}))
        CHECK_FALSE(choice.reaches_beyond_band);
}

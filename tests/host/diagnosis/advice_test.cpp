#include "diagnosis/advice.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <doctest/doctest.h>
#include <string>

using namespace quaycell;

namespace {

struct Boat {
    Hull hull;
    std::vector<std::string> metals = {};
    Range salinity_psu = {30, 40};
};

Water water_of(const Boat& boat) {
    Water water;
    water.salinity_psu = boat.salinity_psu;
    return water;
}

Judgement judged(const Boat& boat, double potential_mv) {
    return judge(*prepare_rules(built_in_criteria(), {boat.hull, boat.metals}, water_of(boat)),
                 potential_mv, 12);
}

std::vector<std::string> advice(const Boat& boat, double potential_mv) {
    return advice_for(judged(boat, potential_mv), boat.hull, boat.metals, water_of(boat));
}

std::vector<std::string> cautions(const Boat& boat, double potential_mv) {
    return cautions_for(judged(boat, potential_mv), boat.hull, boat.metals, water_of(boat));
}

std::string lower(std::string_view text) {
    std::string out(text);
    std::transform(out.begin(), out.end(), out.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return out;
}

bool says(const std::vector<std::string>& texts, std::string_view words) {
    return std::any_of(texts.begin(), texts.end(), [&](const std::string& text) {
        return lower(text).find(words) != std::string::npos;
    });
}

} // namespace

TEST_CASE("Too little protection: look at the anodes, the bonds and the shore cord") {
    const auto texts = advice({Hull::aluminium}, -870);
    CHECK(says(texts, "anodes are spent"));
    CHECK(says(texts, "bad bond"));
    CHECK(says(texts, "shore power cord unplugged"));
    CHECK_FALSE(says(texts, "take anode area away"));
}

TEST_CASE("The anode alloy follows the water") {
    CHECK(says(advice({Hull::steel, {}, {33, 37}}, -700), "zinc or aluminium"));
    CHECK(says(advice({Hull::steel, {}, {8, 15}}, -700), "in brackish water use aluminium"));
    CHECK_FALSE(says(advice({Hull::steel, {}, {8, 15}}, -700), "use magnesium"));
}

TEST_CASE("A positive reading means swapped leads, not missing anodes") {
    const auto texts = advice({Hull::aluminium}, 870);
    CHECK(says(texts, "leads are probably swapped"));
    CHECK_FALSE(says(texts, "anodes are spent"));
}

TEST_CASE("Over-protected wood: alkali, and less anode") {
    const auto texts = advice({Hull::wood}, -700);
    CHECK(says(texts, "take anode area away"));
    CHECK(says(texts, "alkali at the fittings softens the wood"));
}

TEST_CASE("Over-protected aluminium: less anode, and no magnesium") {
    CHECK(says(advice({Hull::aluminium}, -1200), "take anode area away"));
    CHECK(says(advice({Hull::aluminium}, -1200), "magnesium anodes"));
    CHECK(
        says(cautions({Hull::aluminium}, -1000), "no magnesium anode on aluminium in salt water"));
    CHECK(
        says(cautions({Hull::grp, {"aluminium-alloy"}}, -1000), "no magnesium anode on aluminium"));
    CHECK_FALSE(says(cautions({Hull::grp}, -1000), "no magnesium anode"));
}

TEST_CASE("Brackish water from the very edge of fresh is salt enough to harm aluminium") {
    // The preset "brackish": 0.5 to 30 PSU, in which no criterion holds.
    const Range brackish{0.5, 30};
    CHECK(says(cautions({Hull::aluminium, {}, brackish}, -1000), "no magnesium anode"));
    CHECK(says(cautions({Hull::grp, {"aluminium-alloy"}, brackish}, -1000), "no magnesium anode"));
    CHECK(says(cautions({Hull::aluminium, {}, {0.1, 0.6}}, -1000), "no magnesium anode"));
    CHECK_FALSE(says(cautions({Hull::aluminium, {}, {0.1, 0.5}}, -1000), "no magnesium anode"));
    CHECK_FALSE(says(advice({Hull::aluminium, {}, brackish}, -1000), "use magnesium"));
}

TEST_CASE("Nothing over-protected, and no conflict, is ever told to add anode") {
    const std::vector<std::string_view> more{"too few", "add more", "more anodes", "fit ",
                                             "use aluminium"};
    for (const Hull hull : all_hulls())
        for (const auto& metals : std::vector<std::vector<std::string>>{
                 {}, {"aluminium-alloy"}, {"high-strength-steel"}})
            for (double potential_mv = -1600; potential_mv <= 0; potential_mv += 25) {
                const Judgement judgement = judged({hull, metals}, potential_mv);
                if (judgement.verdict != Verdict::over_protected && !judgement.conflict) continue;
                const auto texts = advice({hull, metals}, potential_mv);
                for (const std::string_view words : more)
                    CHECK_FALSE(says(texts, words));
            }
}

TEST_CASE("Without a verdict nobody is told which anode, and everybody not to add one") {
    for (const double potential_mv : {-700.0, -1200.0})
        for (const Hull hull : {Hull::steel, Hull::aluminium, Hull::wood}) {
            const Boat boat{hull, {}, {0.1, 0.4}};
            CHECK_FALSE(says(advice(boat, potential_mv), "magnesium"));
            CHECK(says(advice(boat, potential_mv), "hold the cell close"));
            CHECK(says(cautions(boat, potential_mv), "do not add anode"));
        }
}

TEST_CASE("Where nothing was measured, to measure is all that is advised") {
    Judgement nothing;
    nothing.potential_mv = std::nan("");
    nothing.nothing_measured = true;
    const Boat fresh{Hull::steel, {}, {0.1, 0.4}};
    const auto texts = advice_for(nothing, fresh.hull, fresh.metals, water_of(fresh));
    CHECK(texts.size() == 1);
    CHECK(says(texts, "cell hangs in the water"));
}

TEST_CASE("What to do about over-protection follows from what is over-protected") {
    // High-strength steel is beyond -950, aluminium within -950 to -1100.
    const auto hard = advice({Hull::grp_aluminium_drive, {"high-strength-steel"}}, -1000);
    CHECK(says(hard, "hydrogen may crack"));
    CHECK_FALSE(says(hard, "alkali"));
    // Wood is beyond -600, its aluminium fitting short of -800.
    const auto wood = advice({Hull::wood, {"aluminium-alloy"}}, -700);
    CHECK(says(wood, "softens the wood"));
    CHECK_FALSE(says(wood, "aluminium that is too negative"));
    CHECK(says(advice({Hull::steel}, -1200), "take anode area away."));
}

TEST_CASE("A bonded metal that is not protected is told of, though the hull is") {
    CHECK(says(advice({Hull::grp, {"aluminium-alloy"}}, -700), "bonded metal is not protected"));
    CHECK_FALSE(
        says(advice({Hull::grp, {"aluminium-alloy"}}, -900), "bonded metal is not protected"));
    CHECK_FALSE(
        says(advice({Hull::wood, {"aluminium-alloy"}}, -570), "bonded metal is not protected"));
}

TEST_CASE("A potential that no metal shows is looked for in the leads, not in the anodes") {
    const auto texts = advice({Hull::aluminium}, -1929);
    CHECK(says(texts, "no metal shows such a potential"));
    CHECK(texts.size() == 1);
    CHECK(advice({Hull::aluminium}, 870).size() == 1);
    Judgement none; // of a trace in which nothing could be judged
    none.potential_mv = NAN;
    CHECK(says(advice_for(none, Hull::steel, {}, Water{}), "anodes disconnected"));
    CHECK_FALSE(says(advice_for(none, Hull::steel, {}, Water{}), "no metal shows"));
}

TEST_CASE("A conflict is handed to a specialist") {
    CHECK(says(advice({Hull::wood, {"aluminium-alloy"}}, -500), "do not add anode"));
}

TEST_CASE("Undecided: better cell, better salinity, again") {
    CHECK(says(advice({Hull::aluminium}, -955), "inside the uncertainty"));
}

TEST_CASE("A protected hull needs no advice") {
    CHECK(advice({Hull::aluminium}, -1000).empty());
}

TEST_CASE("The cautions about shore power stand beside every verdict, in every water") {
    for (const Range& salinity_psu : {Range{30, 40}, Range{0.1, 0.5}})
        for (const double potential_mv : {-500.0, -1000.0, -1300.0}) {
            const auto texts = cautions({Hull::aluminium, {}, salinity_psu}, potential_mv);
            CHECK(says(texts, "nobody goes into the water"));
            CHECK(says(texts, "licensed electrician"));
            CHECK(says(texts, "never lift, cut or bypass the protective earth"));
        }
}

TEST_CASE("The cautions stand even where the water is out of range") {
    Water unknown;
    unknown.salinity_psu = {0, 100};
    CHECK(says(cautions_for(Judgement{}, Hull::steel, {}, unknown), "nobody goes into the water"));
}

TEST_CASE("No sentence calls anything safe, and every sentence has a source and a status") {
    for (const auto& table : {all_advice(), all_cautions()})
        for (const Sentence& sentence : table) {
            INFO(sentence.text);
            CHECK(lower(sentence.text).find("safe") == std::string::npos);
            CHECK(sentence.text.ends_with('.'));
            CHECK_FALSE(sentence.source.empty());
            CHECK_FALSE(sentence.status.empty());
        }
}

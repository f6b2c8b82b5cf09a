#include "diagnosis/advice.h"

#include "diagnosis/galvanic_series.h"
#include "electrode/chloride.h"
#include "electrode/limits.h"
#include "electrode/presets.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>

namespace quaycell {
namespace {

bool always(const Situation&) {
    return true;
}
bool reversed(const Situation& s) {
    return s.judgement.potential_mv > clearly_positive_mv;
}
bool is_under(const Situation& s) {
    return s.judgement.verdict == Verdict::under_protected && !reversed(s);
}
bool is_over(const Situation& s) {
    return s.judgement.verdict == Verdict::over_protected;
}
bool conflicting(const Situation& s) {
    return s.judgement.conflict.has_value();
}
bool anode_helps(const Situation& s) {
    return is_under(s) && !conflicting(s);
}
/// Whether a row of one of these is exceeded on the negative side.
bool is_over_for(const Situation& s, std::initializer_list<std::string_view> subjects) {
    return is_over(s) && std::any_of(s.judgement.rows.begin(), s.judgement.rows.end(),
                                     [&subjects](const RowJudgement& row) {
                                         return row.verdict == Verdict::over_protected &&
                                                std::find(subjects.begin(), subjects.end(),
                                                          row.criterion.subject) != subjects.end();
                                     });
}
bool is_over_for_wood(const Situation& s) {
    return is_over_for(s, {"wood"});
}
bool is_over_for_aluminium(const Situation& s) {
    return is_over_for(s, {"aluminium", "grp-aluminium-drive", "aluminium-alloy"});
}
bool is_over_for_hard_steel(const Situation& s) {
    return is_over_for(s, {"high-strength-steel", "stainless-duplex"});
}
bool is_over_for_others(const Situation& s) {
    return is_over(s) && !is_over_for_wood(s) && !is_over_for_aluminium(s) &&
           !is_over_for_hard_steel(s);
}
/// Of a trace without a verdict no potential is told.
bool shows_impossible(const Situation& s) {
    return std::isfinite(s.judgement.potential_mv) && !is_possible(s.judgement.potential_mv);
}
bool is_impossible(const Situation& s) {
    return shows_impossible(s) && !reversed(s);
}
bool a_metal_is_under(const Situation& s) {
    return s.judgement.verdict == Verdict::protected_ && !conflicting(s) &&
           std::any_of(
               s.judgement.rows.begin(), s.judgement.rows.end(),
               [](const RowJudgement& row) { return row.verdict == Verdict::under_protected; });
}
bool is_undecided(const Situation& s) {
    return s.judgement.verdict == Verdict::undecided;
}
bool without_measurement(const Situation& s) {
    return s.judgement.nothing_measured;
}
bool without_verdict(const Situation& s) {
    return s.judgement.verdict == Verdict::no_verdict && !shows_impossible(s) &&
           !without_measurement(s);
}
bool in_fresh(const Situation& s) {
    return s.salinity_psu.high <= fresh_below_psu;
}
/// Water that may be salt at times counts as salt: a magnesium anode does its harm there.
bool in_salt(const Situation& s) {
    return s.salinity_psu.high > fresh_below_psu;
}
bool in_sea(const Situation& s) {
    return s.salinity_psu.low >= sea_from_psu;
}
bool in_brackish(const Situation& s) {
    return in_salt(s) && !in_sea(s);
}
bool has_aluminium(const Situation& s) {
    return s.hull == Hull::aluminium || s.hull == Hull::grp_aluminium_drive ||
           std::find(s.metals.begin(), s.metals.end(), name_of(Metal::aluminium_alloy)) !=
               s.metals.end();
}

constexpr std::string_view practice = "common practice, no source";
constexpr std::string_view judged = "our judgement";
constexpr std::string_view book =
    "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, ch. 11";

constexpr std::array advice{
    Sentence{
        reversed,
        "The reading is positive: the leads are probably swapped. Put the cell on the meter's COM "
        "and the hull on its positive input, and read again.",
        book, "read"},
    Sentence{is_impossible,
             "No metal shows such a potential: look at the leads, the cell and the unit, and read "
             "again.",
             "galvanic series", judged},
    Sentence{conflicting,
             "What protects one metal harms another here. Do not add anode; have the metals bonded "
             "apart or the anodes split by a specialist.",
             "criteria of this judgement", judged},
    Sentence{
        anode_helps,
        "Look whether the anodes are spent, painted over or too few, and whether each has good "
        "contact with the bonding.",
        book, practice},
    Sentence{
        is_under,
        "Touch fitting after fitting with the cell left in one place: the one that differs has a "
        "bad bond.",
        "survey practice", "read"},
    Sentence{is_under,
             "Read again with the shore power cord unplugged: if that changes the potential, the "
             "shore's earth or a current from it takes part.",
             book, "read"},
    Sentence{[](const Situation& s) { return anode_helps(s) && in_sea(s); },
             "In sea water zinc or aluminium anodes serve.", "anode practice", "transcribed"},
    Sentence{[](const Situation& s) { return anode_helps(s) && in_brackish(s); },
             "In brackish water use aluminium anodes: zinc films over and stops working.",
             "trade practice", "transcribed"},
    Sentence{
        a_metal_is_under,
        "A bonded metal is not protected, though the hull is: look at it at the next haul-out, "
        "and ask whether it needs an anode of its own.",
        "criteria of this judgement", judged},
    Sentence{is_over_for_wood,
             "Take anode area away until the potential is near the least negative end of the band: "
             "alkali at the fittings softens the wood.",
             "wooden-hull practice", "from memory"},
    Sentence{
        is_over_for_aluminium,
        "Take anode area away: aluminium that is too negative corrodes in the alkali it makes.",
        "ABYC E-2 (7/01) 2.4, definitions", "read"},
    Sentence{is_over_for_hard_steel,
             "Take anode area away: hydrogen may crack hard steel that is too negative.",
             "EN 12473 / ISO 12473", "from memory"},
    Sentence{is_over_for_others, "Take anode area away.", "over-protection practice", practice},
    Sentence{[](const Situation& s) { return is_over(s) && in_salt(s); },
             "Look for magnesium anodes: they belong in fresh water only and drive a hull in salt "
             "water too far.",
             book, "read"},
    Sentence{
        is_over,
        "If the anodes are right, suspect a direct current from a charger, a battery lead or an "
        "impressed-current system.",
        book, "read"},
    Sentence{
        is_undecided,
        "The limit lies inside the uncertainty. Check the cell on the day, measure the salinity, "
        "and read again.",
        "uncertainty budget of this judgement", judged},
    Sentence{without_measurement,
             "Nothing can be said of this hull until a potential is measured: see that the cell "
             "hangs in the water, that both leads have contact and that the logger records, and "
             "measure again.",
             "contents of this trace", judged},
    Sentence{without_verdict,
             "Compare the reading with one taken with the anodes disconnected, and measure the "
             "salinity of the water.",
             "shift rules", "transcribed"},
    Sentence{
        [](const Situation& s) { return (without_verdict(s) || is_undecided(s)) && in_fresh(s); },
        "Hold the cell close to the metal: in fresh water the voltage drop between them is "
        "hardly known.",
        "uncertainty budget of this judgement", judged},
};

constexpr std::array cautions{
    Sentence{
        always,
        "Nobody goes into the water at a dock with power on it, to look at anodes either: leaking "
        "current can paralyse a swimmer.",
        "electric shock drowning prevention material", "read"},
    Sentence{always,
             "Have shore power and the bonding to its earth checked by a licensed electrician.",
             "safe practice ashore", judged},
    Sentence{always,
             "Never lift, cut or bypass the protective earth; unplug the whole shore power cord.",
             "boating magazine on failed isolators", "read; prohibition from memory"},
    Sentence{
        in_fresh,
        "Fresh water makes a leaking current more dangerous to a swimmer than salt water does.",
        "electric shock drowning prevention material", "read"},
    Sentence{is_over, "Do not add anode to a hull that is over-protected.",
             "over-protection practice", judged},
    Sentence{without_verdict,
             "Do not add anode because of this reading: the hull may be over-protected already.",
             "over-protection practice", judged},
    Sentence{[](const Situation& s) { return has_aluminium(s) && in_salt(s); },
             "No magnesium anode on aluminium in salt water.",
             "DNV rules for high-speed craft, January 2011, Pt. 3 Ch. 3 Sec. 2 C401", "read"},
};

std::vector<std::string> said(std::span<const Sentence> table, const Judgement& judgement,
                              Hull hull, const std::vector<std::string>& metals,
                              const Water& water) {
    const Result<Range> salinity_psu = salinity_range_of(water);
    // Of water that is out of range nothing is known, but the cautions stand all the same.
    const Range anything{salinity_limits.low, salinity_limits.high};
    const Situation situation{judgement, hull, metals, salinity_psu ? *salinity_psu : anything};
    std::vector<std::string> texts;
    for (const Sentence& sentence : table)
        if (sentence.applies(situation)) texts.emplace_back(sentence.text);
    return texts;
}

} // namespace

std::span<const Sentence> all_advice() {
    return advice;
}

std::span<const Sentence> all_cautions() {
    return cautions;
}

std::vector<std::string> advice_for(const Judgement& judgement, Hull hull,
                                    const std::vector<std::string>& metals, const Water& water) {
    return said(advice, judgement, hull, metals, water);
}

std::vector<std::string> cautions_for(const Judgement& judgement, Hull hull,
                                      const std::vector<std::string>& metals, const Water& water) {
    return said(cautions, judgement, hull, metals, water);
}

} // namespace quaycell

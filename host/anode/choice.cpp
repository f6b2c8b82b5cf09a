#include "anode/choice.h"

#include "electrode/presets.h"

#include <algorithm>
#include <array>

namespace quaycell {

namespace {

bool only_sea(const AnodeSetting& s) {
    return s.salinity_psu.low >= sea_from_psu;
}
bool only_fresh(const AnodeSetting& s) {
    return s.salinity_psu.high <= fresh_below_psu;
}
bool fresh_at_times(const AnodeSetting& s) {
    return s.salinity_psu.low < fresh_below_psu && !only_fresh(s);
}
bool brackish_at_times(const AnodeSetting& s) {
    return !only_sea(s) && !only_fresh(s);
}
bool salt_at_times(const AnodeSetting& s) {
    return !only_fresh(s);
}
bool has(const AnodeSetting& s, Metal metal) {
    return std::ranges::find(s.metals, name_of(metal)) != s.metals.end();
}
bool with_aluminium(const AnodeSetting& s) {
    return s.hull == Hull::aluminium || s.hull == Hull::grp_aluminium_drive ||
           has(s, Metal::aluminium_alloy);
}
/// That hydrogen cracks.
bool hard_steel(const AnodeSetting& s) {
    return has(s, Metal::high_strength_steel) || has(s, Metal::stainless_duplex);
}
bool hard_steel_in_salt(const AnodeSetting& s) {
    return salt_at_times(s) && hard_steel(s);
}
bool aluminium_in_salt(const AnodeSetting& s) {
    return salt_at_times(s) && with_aluminium(s);
}
bool aluminium_in_fresh(const AnodeSetting& s) {
    return only_fresh(s) && with_aluminium(s);
}
bool wood_in_salt(const AnodeSetting& s) {
    return salt_at_times(s) && s.hull == Hull::wood;
}
bool wood_in_fresh(const AnodeSetting& s) {
    return only_fresh(s) && s.hull == Hull::wood;
}

constexpr std::string_view hydrogen_in_salt =
    "Enough of it drives high-strength steel beyond -950 mV on agcl/seawater, and duplex steel as "
    "far, where hydrogen may crack them: measure after fitting.";
constexpr std::string_view hydrogen_source = "ABS Guidance Notes on Cathodic Protection of Ships "
                                             "(2017) 2, Table 1; of duplex steel EN 12473";
constexpr std::string_view hydrogen_status =
    "transcribed, for sea water; of duplex steel from memory";

constexpr std::array reasons{
    AlloyReason{Alloy::zinc, only_sea, Fitness::first, "It is at home in sea water.",
                "boat-owner guide (D. Casey)", "transcribed"},
    AlloyReason{Alloy::zinc, brackish_at_times, Fitness::useless,
                "In brackish water it films over and delivers less and less.",
                "trade and technicians' posts", "transcribed"},
    AlloyReason{Alloy::zinc, only_fresh, Fitness::useless,
                "In fresh water it crusts over with oxide and hydroxide and stops; the next metal "
                "becomes the anode. Days and months are both claimed.",
                "trade and technicians' posts", "transcribed"},
    AlloyReason{Alloy::zinc, fresh_at_times, Fitness::useless,
                "The crust of a stay in fresh water stays on when the water is salt again: it has "
                "to be brushed off.",
                "common practice, no source", "common practice"},
    AlloyReason{Alloy::aluminium, only_sea, Fitness::first,
                "It serves in sea water, and a kilogram delivers two and a half times as much as "
                "one of zinc.",
                "design capacities of DNV-RP-B401", "transcribed"},
    AlloyReason{Alloy::aluminium, brackish_at_times, Fitness::first,
                "It goes on working in brackish water, and in water that is brackish at times.",
                "trade and technicians' posts", "transcribed"},
    AlloyReason{Alloy::aluminium, fresh_at_times, Fitness::first,
                "It is the only one of the three that does no harm in salt water and still works, "
                "if weakly, in fresh.",
                "anode practice", "our judgement"},
    AlloyReason{Alloy::aluminium, only_fresh, Fitness::second,
                "In fresh water it is the second choice: it fails where there is too little "
                "chloride, and nobody publishes how little.",
                "trade and technicians' posts", "transcribed"},
    AlloyReason{Alloy::magnesium, only_fresh, Fitness::first,
                "In fresh water it alone drives enough current.", "trade and technicians' posts",
                "transcribed"},
    AlloyReason{Alloy::magnesium, salt_at_times, Fitness::dangerous,
                "It is for fresh water only. In salt or brackish water it is gone soon, lifts the "
                "paint and over-protects.",
                "boat-owner guide (D. Casey)", "transcribed"},
    AlloyReason{Alloy::magnesium, aluminium_in_salt, Fitness::dangerous,
                "It drives aluminium so far that the metal dissolves in the alkali it makes.",
                "ABYC E-2 (7/2001) 2.4 on over-protected aluminium", "read"},
    AlloyReason{Alloy::magnesium, wood_in_salt, Fitness::dangerous,
                "It drives the fittings of a wooden hull so far that alkali destroys the wood "
                "round them.",
                "practice on wooden hulls", "from memory"},
    AlloyReason{Alloy::magnesium, aluminium_in_fresh, Fitness::first,
                "Measure after fitting: aluminium can be over-protected in fresh water, too.",
                "anode practice", "our judgement"},
    AlloyReason{Alloy::zinc, hard_steel_in_salt, Fitness::first, hydrogen_in_salt, hydrogen_source,
                hydrogen_status},
    AlloyReason{Alloy::aluminium, hard_steel_in_salt, Fitness::first, hydrogen_in_salt,
                hydrogen_source, hydrogen_status},
    AlloyReason{Alloy::magnesium, hard_steel, Fitness::second,
                "It can drive high-strength and duplex steel so far that hydrogen may crack them: "
                "measure after fitting, and take some away rather than leave it.",
                hydrogen_source, hydrogen_status},
    AlloyReason{Alloy::magnesium, wood_in_fresh, Fitness::second,
                "On a wooden hull as little as does the job: measure after fitting, and take some "
                "away rather than leave it.",
                "practice on wooden hulls", "from memory"},
};

constexpr std::array<std::string_view, 4> fitness_names{"first choice", "second choice",
                                                        "useless there", "dangerous there"};

AlloyChoice choice_of(const AlloyFacts& alloy, const AnodeSetting& setting, const Band& band) {
    AlloyChoice choice{alloy.alloy, Fitness::first, {}, false};
    for (const AlloyReason& reason : reasons) {
        if (reason.alloy != alloy.alloy || !reason.applies(setting)) continue;
        choice.reasons.push_back(&reason);
        choice.fitness = std::max(choice.fitness, reason.fitness);
    }
    choice.reaches_beyond_band = band.over_at_mv && alloy.closed_circuit_mv.low < *band.over_at_mv;
    return choice;
}

} // namespace

std::string_view name_of(Fitness fitness) {
    return fitness_names.at(static_cast<std::size_t>(fitness));
}

std::span<const AlloyReason> all_alloy_reasons() {
    return reasons;
}

std::vector<AlloyChoice> choose_alloy(const AnodeSetting& setting, const Band& band) {
    std::vector<AlloyChoice> choices;
    for (const AlloyFacts& alloy : all_alloys())
        choices.push_back(choice_of(alloy, setting, band));
    std::ranges::stable_sort(choices, {}, &AlloyChoice::fitness);
    return choices;
}

bool is_dangerous(Alloy alloy, const AnodeSetting& setting) {
    return choice_of(facts_of(alloy), setting, {}).fitness == Fitness::dangerous;
}

} // namespace quaycell

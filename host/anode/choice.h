// Which alloy serves in which water, for which hull, and what the wrong one does.
#pragma once

#include "anode/alloy.h"
#include "protection/criterion.h"
#include "protection/verdict.h"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// What the choice depends on.
struct AnodeSetting {
    Hull hull;
    std::vector<std::string> metals; ///< kinds of the bonded metals
    Range salinity_psu;              ///< of all the water that the boat lies or moves in
};

/// From the best on.
enum class Fitness {
    first,     ///< take this one
    second,    ///< where the first cannot be had
    useless,   ///< it stops working there
    dangerous, ///< it destroys what it is to protect
};
std::string_view name_of(Fitness fitness); ///< "second choice"

/// Said of an alloy where it applies.
struct AlloyReason {
    Alloy alloy;
    bool (*applies)(const AnodeSetting&);
    Fitness fitness;
    std::string_view text;
    std::string_view source;
    std::string_view status; ///< in words
};

std::span<const AlloyReason> all_alloy_reasons();

struct AlloyChoice {
    Alloy alloy;
    Fitness fitness; ///< the worst of its reasons
    std::vector<const AlloyReason*> reasons;
    /// Whether enough of it can drive the hull beyond the most negative end of its band.
    bool reaches_beyond_band;
};

/// Of the anodes of a wooden hull, how many and how large they are.
inline constexpr std::string_view wood_caution =
    "A wooden hull takes as little anode as does the job: too much makes alkali at the fittings, "
    "which destroys the wood round them. Renew in the same size or a smaller one, never more of "
    "them; read after fitting, and take some away rather than leave the hull more negative than "
    "its band. (practice on wooden hulls; from memory)";

/// Of the anodes of any hull.
inline constexpr std::string_view one_alloy_caution =
    "Never two alloys on one bonding: the more active one is used up for the other (technicians' "
    "posts; transcribed).";

/// All alloys, the fittest first. `band`: of the hull on agcl/seawater, where one is published.
std::vector<AlloyChoice> choose_alloy(const AnodeSetting& setting, const Band& band);

/// Whether this alloy on that hull in that water destroys what it is to protect: to be computed
/// only for who insists.
bool is_dangerous(Alloy alloy, const AnodeSetting& setting);

} // namespace quaycell

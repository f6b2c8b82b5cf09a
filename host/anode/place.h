// Where anodes sit, what limits their size there, and what to look at.
#pragma once

#include "base/result.h"

#include <optional>
#include <span>
#include <string_view>

namespace quaycell {

struct AnodePlace {
    std::string_view name;  ///< "shaft"
    std::string_view form;  ///< what is fitted there
    std::string_view limit; ///< what limits its size
    std::string_view look;  ///< at a haul-out, or at the service
    bool seen_by_hull_cell; ///< whether a cell outside the hull tells anything of it
    std::string_view source;
    std::string_view status; ///< in words
};

std::span<const AnodePlace> all_anode_places();

/// Error (wrong_usage): none is called so; lists them.
Result<AnodePlace> anode_place_named(std::string_view name);

/// The place that a log's own words name, in any case, with hyphens or without, and with words
/// before it that say which of several: "Port Engine", "Heat exchanger 2". What is said behind it
/// says more of a place on the hull, "hull, port, amidships"; behind one in the engine it may be of
/// another place, "engine bed". Nothing where none is named.
std::optional<AnodePlace> anode_place_in(std::string_view words);

/// Whether what a log calls so may lie in the same water as the hull: at a place that is not known
/// it may.
bool may_lie_in_hulls_water(std::string_view words);

} // namespace quaycell

// What the immersed metal takes, as far as the command line says it.
#pragma once

#include "judging/size_options.h"

namespace quaycell {

struct SaidDemand {
    CurrentDemand current_a;
    std::vector<std::string> sources;
    std::vector<std::string> assumed;
};

/// From currents as given, or from an area, a current density and what of a coating is bare.
/// `boat`: where hull or vessel file are named. Errors as of sizing_grounds().
Result<SaidDemand> demand_from(const SizeOptions& options, const std::optional<Boat>& boat);

} // namespace quaycell

#include "protection/standard_potential.h"

#include <cmath>
#include <fmt/format.h>

namespace quaycell {
namespace {

Result<double> to_seawater_mv(Scale scale, const Water& water, Constants constants) {
    return convert_mv(0, scale, Scale::agcl_seawater, water, constants);
}

} // namespace

Result<StandardOffset> standard_offset(Scale scale, const Water& water) {
    const Result<double> computed_mv = to_seawater_mv(scale, water, Constants::computed);
    if (!computed_mv) return computed_mv.error();
    if (scale == Scale::agcl_seawater || scale == Scale::agcl_open)
        return StandardOffset{*computed_mv, std::nullopt};

    const Result<double> handbook_mv = to_seawater_mv(scale, water, Constants::handbook);
    if (!handbook_mv) return handbook_mv.error();
    return StandardOffset{
        {*computed_mv, *handbook_mv},
        fmt::format("converted from {} to {} with {:+.1f} mV, computed, and with {:+.1f} mV, the "
                    "standards' rounded offset: the less negative potential counts for protection, "
                    "the more negative one for over-protection",
                    name_of(scale), name_of(Scale::agcl_seawater), *computed_mv, *handbook_mv)};
}

Result<ByConstants> standard_potential_mv(double potential_mv, Scale cell_scale,
                                          const Water& water) {
    if (!std::isfinite(potential_mv))
        return Error{ErrorCode::out_of_range, "the potential is not a number", "", "Give it in mV"};
    const Result<StandardOffset> offset = standard_offset(cell_scale, water);
    if (!offset) return offset.error();
    return potential_mv + offset->offset_mv;
}

} // namespace quaycell

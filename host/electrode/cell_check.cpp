#include "electrode/cell_check.h"

#include "electrode/chloride.h"
#include "electrode/presets.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <fmt/format.h>

namespace quaycell {
namespace {

constexpr std::array<std::string_view, 3> names{"good", "doubtful", "rejected"};

constexpr std::string_view pair_source =
    "within 5 mV: UFGS-13111A, 3.3.1 (read); beyond 10 mV: survey practice (from memory)";

/// Zinc in sea water, closed or open circuit, on agcl/seawater: anode tables give -1.00 to -1.05 V
/// (transcribed), [mV].
constexpr Range zinc_mv{-1050, -1000};
constexpr double usual_zinc_mv = -1030;
constexpr std::string_view zinc_source = "zinc anodes in sea water, ABS Guidance Notes 2017, "
                                         "Section 3, Table 2 (transcribed); the range "
                                         "is derived";

Error not_a_number() {
    return Error{ErrorCode::out_of_range, "the potential is not a number", "", "Give it in mV"};
}

} // namespace

std::string_view name_of(CellFinding finding) {
    return names.at(static_cast<std::size_t>(finding));
}

Result<CellComparison> compare_cells(double difference_mv) {
    if (!std::isfinite(difference_mv)) return not_a_number();
    const double apart_mv = std::abs(difference_mv);
    const auto found = [&](CellFinding finding, std::string why) {
        return CellComparison{finding, difference_mv, std::move(why), std::string(pair_source)};
    };
    if (apart_mv <= good_pair_mv)
        return found(CellFinding::good,
                     fmt::format("the cells agree within {:g} mV", good_pair_mv));
    if (apart_mv <= usable_pair_mv)
        return found(CellFinding::doubtful,
                     fmt::format("the cells are {:.1f} mV apart, more than {:g} mV: clean and soak "
                                 "both, and compare again",
                                 apart_mv, good_pair_mv));
    return found(
        CellFinding::rejected,
        fmt::format("the cells are {:.1f} mV apart, more than {:g} mV: one of them is bad, "
                    "and a third cell tells which",
                    apart_mv, usable_pair_mv));
}

Result<CellComparison> compare_with_zinc(double potential_mv, Scale cell_scale,
                                         const Water& water) {
    if (!std::isfinite(potential_mv)) return not_a_number();
    const Result<Range> salinity_psu = salinity_range_of(water);
    if (!salinity_psu) return salinity_psu.error();
    if (salinity_psu->low < sea_from_psu)
        return Error{ErrorCode::out_of_range,
                     fmt::format("zinc is no reference in water of {:.3g} PSU: it films over",
                                 salinity_psu->low),
                     "",
                     fmt::format("Compare in sea water, from {:g} PSU on, or with another cell",
                                 sea_from_psu)};
    const Result<double> standard_mv =
        convert_mv(potential_mv, cell_scale, Scale::agcl_seawater, water, Constants::computed);
    if (!standard_mv) return standard_mv.error();
    const double difference_mv = *standard_mv - usual_zinc_mv;
    const bool usual = *standard_mv >= zinc_mv.low && *standard_mv <= zinc_mv.high;
    if (usual)
        return CellComparison{
            CellFinding::doubtful, difference_mv,
            fmt::format("the zinc reads {:.0f} mV on agcl/seawater, between {:.0f} and {:.0f} mV "
                        "as clean zinc does: the cell is not broken, but only another cell shows "
                        "that it is within {:g} mV",
                        *standard_mv, zinc_mv.low, zinc_mv.high, good_pair_mv),
            std::string(zinc_source)};
    return CellComparison{
        CellFinding::rejected, difference_mv,
        fmt::format("the zinc reads {:.0f} mV on agcl/seawater, clean zinc {:.0f} to {:.0f} mV: "
                    "the cell is bad, the zinc is not clean, or a lead is",
                    *standard_mv, zinc_mv.low, zinc_mv.high),
        std::string(zinc_source)};
}

} // namespace quaycell

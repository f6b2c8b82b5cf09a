#include "electrode/junction.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace quaycell {
namespace {

struct Residual {
    double salinity_psu;
    double residual_mv;
};
constexpr std::array residuals{Residual{0.1, 3.9}, Residual{1, 2.7}, Residual{10, 1.0},
                               Residual{35, 0.5}};

} // namespace

bool has_salt_bridge(Scale scale) {
    switch (scale) {
    case Scale::agcl_kcl_0_1:
    case Scale::agcl_kcl_1:
    case Scale::agcl_kcl_3:
    case Scale::agcl_kcl_3_5:
    case Scale::agcl_kcl_sat:
    case Scale::sce:
    case Scale::cse:
        return true;
    default:
        return false;
    }
}

double junction_residual_mv(double salinity_psu) {
    const auto above = std::find_if(residuals.begin(), residuals.end(), [&](const Residual& row) {
        return row.salinity_psu >= salinity_psu;
    });
    if (above == residuals.begin()) return above->residual_mv;
    if (above == residuals.end()) return residuals.back().residual_mv;
    const auto below = above - 1;
    const double share = std::log(salinity_psu / below->salinity_psu) /
                         std::log(above->salinity_psu / below->salinity_psu);
    return std::lerp(below->residual_mv, above->residual_mv, share);
}

} // namespace quaycell

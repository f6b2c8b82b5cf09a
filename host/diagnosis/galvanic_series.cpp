#include "diagnosis/galvanic_series.h"

#include <algorithm>
#include <array>

namespace quaycell {
namespace {

constexpr std::string_view read = "read";
constexpr std::string_view memory = "from memory";
/// The two series share most of their numbers, although the cells lie 5 to 10 mV apart: less than
/// the scatter.
constexpr std::string_view on_sce = "read, on sce";

constexpr std::array series{
    FreePotential{"magnesium", {-1650, -1600}, read},
    FreePotential{"zinc", {-1030, -980}, read},
    FreePotential{"aluminium alloys", {-1000, -760}, read},
    FreePotential{"mild steel", {-710, -600}, read},
    FreePotential{"cast iron", {-710, -600}, read},
    FreePotential{"low-alloy steel", {-630, -570}, on_sce},
    FreePotential{"304 stainless, active", {-580, -460}, read},
    FreePotential{"316 stainless, active", {-540, -430}, read},
    FreePotential{"aluminium bronze", {-420, -310}, read},
    FreePotential{"brass", {-400, -300}, read},
    // One series prints -570 to -300 for copper, which looks like a misprint.
    FreePotential{"copper", {-370, -300}, on_sce},
    FreePotential{"aluminium brass", {-360, -280}, read},
    FreePotential{"manganese bronze", {-340, -270}, read},
    FreePotential{"silicon bronze", {-290, -260}, read},
    FreePotential{"tin bronze", {-310, -240}, read},
    FreePotential{"90-10 copper-nickel", {-280, -210}, memory},
    FreePotential{"70-30 copper-nickel", {-230, -180}, memory},
    FreePotential{"lead", {-250, -190}, memory},
    FreePotential{"nickel-aluminium bronze", {-220, -140}, on_sce},
    FreePotential{"304 stainless, passive", {-100, -50}, memory},
    FreePotential{"nickel-copper", {-140, -40}, memory},
    FreePotential{"316 stainless, passive", {-100, 0}, memory},
    FreePotential{"titanium", {-50, 60}, memory},
    FreePotential{"graphite", {200, 300}, memory},
};

std::string_view least_noble_of(Hull hull) {
    switch (hull) {
    case Hull::steel:
        return "mild steel";
    case Hull::aluminium:
    case Hull::grp_aluminium_drive:
        return "aluminium alloys";
    case Hull::wood:
    case Hull::grp:
        break;
    }
    return "manganese bronze";
}

} // namespace

std::span<const FreePotential> galvanic_series() {
    return series;
}

const FreePotential& free_potential_of(Hull hull) {
    return *std::ranges::find(series, least_noble_of(hull), &FreePotential::metal);
}

} // namespace quaycell

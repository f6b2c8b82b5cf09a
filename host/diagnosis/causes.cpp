#include "diagnosis/causes.h"

#include "diagnosis/galvanic_series.h"
#include "electrode/chloride.h"
#include "electrode/presets.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <optional>
#include <span>

namespace quaycell {
namespace {

/// The most negative that zinc and aluminium anodes hold in sea water, closed circuit: -1.03 to
/// -1.09 V (ABS notes of 2017, EN 12496: transcribed), with a margin for the cell, [mV].
constexpr double beyond_zinc_and_aluminium_mv = -1120;

struct Facts {
    const Judgement& judgement;
    const BoatInWater& boat;
    Range salinity_psu;

    double potential_mv() const { return judgement.potential_mv; }
    bool under() const { return judgement.verdict == Verdict::under_protected; }
    bool over() const { return judgement.verdict == Verdict::over_protected; }
    bool series_holds() const { return salinity_psu.low >= series_from_psu; }
    bool has_anode(std::string_view alloy) const {
        return std::ranges::find(boat.anode_alloys, alloy) != boat.anode_alloys.end();
    }
};

bool lies_in(double potential_mv, Range range) {
    return potential_mv >= range.low && potential_mv <= range.high;
}

/// Of a metal hull, what is less noble than the hull itself would not be touched but its anodes.
bool may_be_touched(const FreePotential& metal, Hull hull) {
    const bool metal_hull = hull == Hull::steel || hull == Hull::aluminium;
    return !metal_hull || metal.potential_mv.high >= free_potential_of(hull).potential_mv.low;
}

/// "copper, brass or tin bronze"
std::string list_of(const std::vector<std::string_view>& names) {
    const std::span all(names);
    if (all.size() == 1) return std::string(all.front());
    return fmt::format("{} or {}", fmt::join(all.first(all.size() - 1), ", "), all.back());
}

// Each says why it may be the cause, or nothing where it cannot.
using Why = std::optional<std::string>;

Why leads_swapped(const Facts& f) {
    if (!(f.potential_mv() > clearly_positive_mv)) return std::nullopt;
    return fmt::format("{:+.0f} mV is clearly positive against silver/silver-chloride, where no "
                       "metal of a boat's bonding lies: the leads are probably swapped",
                       f.potential_mv());
}

Why free_corrosion(const Facts& f) {
    if (!f.under() || !f.series_holds()) return std::nullopt;
    std::vector<std::string_view> metals;
    for (const FreePotential& row : galvanic_series())
        if (lies_in(f.potential_mv(), row.potential_mv) && may_be_touched(row, f.boat.hull))
            metals.push_back(row.metal);
    if (metals.empty()) return std::nullopt;
    return fmt::format("{:.0f} mV is the free-corrosion potential of {} in sea water, as if "
                       "nothing protected the metal touched: not bonded to the anodes, none left, "
                       "or they hardly work",
                       f.potential_mv(), list_of(metals));
}

Why too_few_anodes(const Facts& f) {
    const FreePotential& own = free_potential_of(f.boat.hull);
    if (!f.under() || !f.series_holds() || f.potential_mv() >= own.potential_mv.low)
        return std::nullopt;
    return fmt::format("{:.0f} mV is more negative than {} by itself ({:.0f} to {:.0f} mV): anodes "
                       "are at work, but they are spent, painted over or too few",
                       f.potential_mv(), own.metal, own.potential_mv.low, own.potential_mv.high);
}

Why drawn_positive(const Facts& f) {
    const FreePotential& own = free_potential_of(f.boat.hull);
    if (!f.under() || !f.series_holds() || f.potential_mv() <= own.potential_mv.high)
        return std::nullopt;
    return fmt::format("{:.0f} mV is less negative than {} by itself ({:.0f} to {:.0f} mV): nobler "
                       "metal bonded to it or a direct current that leaves the metal draws it up",
                       f.potential_mv(), own.metal, own.potential_mv.low, own.potential_mv.high);
}

Why wrong_alloy(const Facts& f) {
    if (!f.under()) return std::nullopt;
    if (f.has_anode("zinc") && f.salinity_psu.high < sea_from_psu)
        return "zinc anodes in this water: they film over and stop working where it is not sea "
               "water";
    return std::nullopt;
}

Why magnesium_in_salt_water(const Facts& f) {
    if (f.salinity_psu.high <= fresh_below_psu) return std::nullopt;
    if (f.has_anode("magnesium") && (f.over() || f.potential_mv() < beyond_zinc_and_aluminium_mv))
        return "the vessel file lists magnesium anodes, which drive a hull in salt water too far";
    if (!(f.potential_mv() < beyond_zinc_and_aluminium_mv)) return std::nullopt;
    return fmt::format("{:.0f} mV is more negative than zinc or aluminium anodes hold: a magnesium "
                       "anode in salt water, or a direct current, takes part",
                       f.potential_mv());
}

Why too_many_anodes(const Facts& f) {
    if (!f.over() || f.potential_mv() < beyond_zinc_and_aluminium_mv) return std::nullopt;
    return "more anode than this hull needs, or than its metals stand";
}

struct Row {
    std::string_view id;
    Why (*why)(const Facts&);
    std::string_view source;
    std::string_view status;
};

constexpr std::string_view book =
    "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, ch. 11";

constexpr std::array rows{
    Row{"leads-swapped", leads_swapped, book, "read; the +100 mV is our judgement"},
    Row{"free-corrosion", free_corrosion, galvanic_series_source,
        "read; that it is the cause is our judgement"},
    Row{"too-few-anodes", too_few_anodes, galvanic_series_source,
        "read; that it is the cause is our judgement"},
    Row{"drawn-positive", drawn_positive, galvanic_series_source,
        "read; that it is the cause is our judgement"},
    Row{"wrong-alloy", wrong_alloy, "trade practice", "transcribed"},
    Row{"magnesium-in-salt-water", magnesium_in_salt_water, book,
        "read; the limit is our judgement"},
    Row{"too-many-anodes", too_many_anodes, "over-protection practice",
        "common practice, no source"},
};

} // namespace

std::vector<Cause> causes_of(const Judgement& judgement, const BoatInWater& boat) {
    const Result<Range> salinity_psu = salinity_range_of(boat.water);
    // Of a trace without a verdict no potential is told.
    if (!salinity_psu || !std::isfinite(judgement.potential_mv)) return {};
    const Facts facts{judgement, boat, *salinity_psu};
    std::vector<Cause> causes;
    for (const Row& row : rows)
        if (auto why = row.why(facts))
            causes.push_back({row.id, std::move(*why), row.source, row.status});
    return causes;
}

} // namespace quaycell

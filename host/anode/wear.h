// How fast an anode wastes, from what it weighed when, and until when it lasts.
#pragma once

#include "anode/alloy.h"
#include "base/time.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// The share gone at which an anode is renewed: common practice, no source; a boat-owner guide (D.
/// Casey, transcribed) says the same.
inline constexpr double usually_renewed_at_gone = 0.5;

/// Standard uncertainty of a mass, as a share of the new mass (our judgement): a kitchen scale and
/// the salt that sticks to it; an eye that judges volume.
inline constexpr double weighed_within_share = 0.01;
inline constexpr double estimated_within_share = 0.10;

/// Of an anode that is fitted to a boat or a ship: whoever says more, or less of a new one, meant
/// another unit.
inline constexpr double lightest_anode_kg = 0.001;
inline constexpr double heaviest_anode_kg = 1000;

double days_between(Instant from, Instant to);

/// What was left of it, once.
struct AnodeMassSeen {
    Instant at;
    double mass_kg;
    bool weighed; ///< else estimated by eye
};

/// An anode from its fitting to its removal.
struct FittedAnode {
    std::string place;
    Alloy alloy;
    double new_mass_kg;
    Instant fitted;
    std::vector<AnodeMassSeen> seen; ///< in order of time, may be empty
};

/// What the weighings come to. Limits are those of k = 2, or of 95 % by Student's t where the
/// weighings scatter more than they should.
struct Wear {
    Range rate_g_day; ///< its high end infinite where only the least is known
    double rate_middle_g_day;
    /// Nothing was left of it on that day, and nobody knows since when: that is no weighing but a
    /// limit. The rate is then the least that it can have been, and no line is drawn.
    std::optional<Instant> gone_by;
    /// By the line through the weighings. Of one that is gone, before that day, anything.
    Range share_left_at(Instant at) const;
    /// The line itself, which goes on below 0. Of one that is gone there is none.
    double line_kg_at(Instant at) const;
    /// Between these the share to renew at is gone. The first is absent where that is farther off
    /// than anybody plans, the second where it may be.
    std::optional<Instant> renew_from;
    std::optional<Instant> renew_to;
    bool is_due; ///< a weighing shows that it is gone already
    /// Its line falls, and clearly so, or to a weighing that lies clearly below the new mass.
    bool is_wasting;

    // The line: mass at a day, with what it rests on.
    double new_mass_kg;
    Instant centre;
    double centre_kg;
    double centre_uncertainty_kg;   ///< expanded
    double rate_uncertainty_kg_day; ///< expanded
};

/// From the new mass and one weighing at least. `renew_at_gone`: a share, above 0 and below 1.
/// Errors: wrong_input (a mass not above zero or grown by more than scales differ, a date before
/// the fitting, two on one instant); not_found (nothing weighed yet).
Result<Wear> wear_of(const FittedAnode& anode, double renew_at_gone);

/// The mean current that wastes so much, [A]. An alloy loses some without delivering it; its design
/// capacity counts that in.
Range current_of_wear_a(Range rate_g_day, Alloy alloy);

/// Mass that so much current takes from an anode over some days, by the design capacity, [kg].
Range mass_used_kg(Range current_a, double days, Alloy alloy);

/// Whether it lasts until a day.
enum class Lasting { yes, perhaps, no };
Lasting lasts_until(const Wear& wear, Instant day);

/// What it costs to renew at a haul-out now, against coming out once more when it is due.
struct RenewalCost {
    double thrown_away; ///< of the price, for metal that would still have served
    double extra_haul_out;
    bool now_is_cheaper;
};
/// `share_left` now, by the line, which may lie above 1 or below 0; prices in one currency, not
/// below zero.
RenewalCost cost_of_renewing_now(double share_left, double renew_at_gone, double anode_price,
                                 double haul_out_price);

} // namespace quaycell

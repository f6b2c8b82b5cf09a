#include "anode/wear.h"

#include "anode/amounts.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <span>

namespace quaycell {

namespace {

constexpr double ms_a_day = 86'400'000;
constexpr double g_a_kg = 1000;
constexpr double hours_a_day = 24;

Instant after_days(Instant from, double days) {
    return from + Milliseconds{std::llround(days * ms_a_day)};
}

/// Later than anybody plans, and well within what an Instant holds.
constexpr double longest_days = 200 * 365.25;

struct Weighing {
    double day; ///< since the fitting
    double mass_kg;
    double uncertainty_kg; ///< standard
};

double uncertainty_kg(const FittedAnode& anode, bool weighed) {
    return anode.new_mass_kg * (weighed ? weighed_within_share : estimated_within_share);
}

std::vector<Weighing> weighings_of(const FittedAnode& anode) {
    std::vector<Weighing> all{{0, anode.new_mass_kg, uncertainty_kg(anode, true)}};
    for (const AnodeMassSeen& each : anode.seen)
        all.push_back({days_between(anode.fitted, each.at), each.mass_kg,
                       uncertainty_kg(anode, each.weighed)});
    return all;
}

Error wrong(const FittedAnode& anode, std::string what, std::string remedy) {
    return {ErrorCode::wrong_input, anode.place + ": " + std::move(what), "", std::move(remedy)};
}

std::optional<Error> what_cannot_be(const FittedAnode& anode,
                                    const std::vector<Weighing>& weighings) {
    for (const Weighing& each : weighings)
        if (!(each.mass_kg >= 0) || !std::isfinite(each.mass_kg) || anode.new_mass_kg <= 0)
            return wrong(anode, fmt::format("a mass of {:g} kg cannot be", each.mass_kg),
                         "Give kilograms, above zero when new");
    for (std::size_t i = 1; i < weighings.size(); ++i) {
        const Weighing& each = weighings[i];
        const Weighing& before = weighings[i - 1];
        const std::string when = to_text(anode.seen[i - 1].at);
        if (each.day < 0)
            return wrong(anode, fmt::format("{} lies before its fitting", when),
                         "Look at both dates again");
        if (each.day <= before.day)
            return wrong(anode, fmt::format("{} is not later than the entry before it", when),
                         "Give each weighing a time of its own");
        const double apart_kg = 2 * std::hypot(each.uncertainty_kg, before.uncertainty_kg);
        if (each.mass_kg > before.mass_kg + apart_kg)
            return wrong(anode,
                         fmt::format("it grew from {:g} to {:g} kg on {}", before.mass_kg,
                                     each.mass_kg, when),
                         "An anode only loses: is it another one? Then enter it as fitted anew");
    }
    return std::nullopt;
}

/// A line by least squares, each point by its uncertainty.
struct Line {
    double centre_day;
    double centre_kg;
    double slope_kg_day;
    double centre_variance;
    double slope_variance;
    double factor; ///< from standard to expanded
};

Line line_through(const std::vector<Weighing>& weighings) {
    double weight = 0, day = 0, mass = 0;
    for (const Weighing& each : weighings) {
        const double w = 1 / (each.uncertainty_kg * each.uncertainty_kg);
        weight += w;
        day += w * each.day;
        mass += w * each.mass_kg;
    }
    day /= weight;
    mass /= weight;
    double xx = 0, xy = 0;
    for (const Weighing& each : weighings) {
        const double w = 1 / (each.uncertainty_kg * each.uncertainty_kg);
        xx += w * (each.day - day) * (each.day - day);
        xy += w * (each.day - day) * (each.mass_kg - mass);
    }
    Line line{day, mass, xy / xx, 1 / weight, 1 / xx, 2};
    const std::size_t free = weighings.size() - 2;
    if (free == 0) return line;
    double chi2 = 0;
    for (const Weighing& each : weighings) {
        const double off = each.mass_kg - (mass + line.slope_kg_day * (each.day - day));
        chi2 += off * off / (each.uncertainty_kg * each.uncertainty_kg);
    }
    const double scatter = std::sqrt(chi2 / static_cast<double>(free));
    const boost::math::students_t student(static_cast<double>(free));
    line.factor = std::max(line.factor, scatter * boost::math::quantile(student, 0.975));
    return line;
}

/// Between which days, from the centre, the line may reach a mass: Fieller's set. Nothing: at any
/// time, as far back or as far ahead as one likes.
struct Reached {
    std::optional<double> first;
    std::optional<double> last;
};

Reached reached(const Line& line, double mass_kg) {
    const double b = line.slope_kg_day, d = mass_kg - line.centre_kg;
    const double k2 = line.factor * line.factor;
    // All x with (b x - d)^2 <= k^2 (u_centre^2 + x^2 u_slope^2), that is a x^2 - 2 b d x + c <= 0.
    const double a = b * b - k2 * line.slope_variance;
    const double c = d * d - k2 * line.centre_variance;
    const double root = std::sqrt(std::max(b * b * d * d - a * c, 0.0));
    if (a > 0) return {(b * d - root) / a, (b * d + root) / a};
    // The slope may be of either sign. Where the centre itself may be at that mass, any time may
    // be.
    if (c <= 0) return {};
    // The roots without loss of digits where a is small; one lies on each side of the centre.
    const double q = b * d >= 0 ? b * d + root : b * d - root;
    const double one = a < 0 ? q / a : std::numeric_limits<double>::infinity();
    const double other = c / q;
    if (d > 0) return {std::nullopt, std::min(one, other)}; // it was past it at the centre
    return {std::max(one, other), std::nullopt};
}

/// Between the fitting and longer than anybody plans.
std::optional<Instant> day_of(const FittedAnode& anode, const Line& line, double from_centre) {
    const double days = line.centre_day + from_centre;
    if (!(days < longest_days)) return std::nullopt;
    return after_days(anode.fitted, std::max(days, 0.0));
}

} // namespace

double days_between(Instant from, Instant to) {
    return static_cast<double>((to - from).count()) / ms_a_day;
}

double Wear::line_kg_at(Instant at) const {
    return centre_kg - rate_middle_g_day / g_a_kg * days_between(centre, at);
}

Range Wear::share_left_at(Instant at) const {
    if (gone_by) return at < *gone_by ? Range{0, 1} : Range{0, 0};
    const double middle_kg = line_kg_at(at);
    const double limit_kg =
        std::hypot(centre_uncertainty_kg, rate_uncertainty_kg_day * days_between(centre, at));
    return {std::clamp((middle_kg - limit_kg) / new_mass_kg, 0.0, 1.0),
            std::clamp((middle_kg + limit_kg) / new_mass_kg, 0.0, 1.0)};
}

namespace {

constexpr double k = 2;

/// What is left when it is to be renewed, and whether a weighing tells clearly on which side it is.
struct Due {
    double kg;

    bool is_ahead(const Weighing& each) const {
        return each.mass_kg - k * each.uncertainty_kg > kg;
    }
    bool is_past(const Weighing& each) const {
        return each.mass_kg + k * each.uncertainty_kg <= kg;
    }
};

/// By the line, and by each weighing for itself: what an anode has lost does not come back.
void decide_when_due(Wear& wear, const FittedAnode& anode, const std::vector<Weighing>& weighings,
                     const Line& line, Due due) {
    const Reached when = reached(line, due.kg);
    wear.renew_from = when.first ? day_of(anode, line, *when.first) : anode.fitted;
    if (when.last) wear.renew_to = day_of(anode, line, *when.last);
    const Weighing& fresh = weighings.front();
    bool is_below = false;
    wear.is_due = false;
    for (std::size_t i = 1; i < weighings.size(); ++i) {
        const Weighing& each = weighings[i];
        const Instant at = anode.seen[i - 1].at;
        if (due.is_ahead(each) && wear.renew_from) wear.renew_from = std::max(*wear.renew_from, at);
        if (due.is_past(each)) {
            wear.is_due = true;
            wear.renew_from = std::min(wear.renew_from.value_or(at), at);
            wear.renew_to = std::min(wear.renew_to.value_or(at), at);
        }
        if (fresh.mass_kg - each.mass_kg >
            k * std::hypot(fresh.uncertainty_kg, each.uncertainty_kg))
            is_below = true;
    }
    wear.is_wasting = wear.rate_g_day.low > 0 || (is_below && wear.rate_middle_g_day > 0);
    if (wear.renew_to && wear.renew_from)
        wear.renew_to = std::max(*wear.renew_to, *wear.renew_from);
}

/// The steady rate that took all of it at the latest on the last of these days: from each earlier
/// weighing on, and the most of these.
double least_rate_kg_day(std::span<const Weighing> weighings) {
    const Weighing& gone = weighings.back();
    double least = 0;
    for (const Weighing& each : weighings.first(weighings.size() - 1))
        least = std::max(least, (each.mass_kg - k * each.uncertainty_kg) / (gone.day - each.day));
    return least;
}

/// Of one of which nothing was left at the last of these weighings.
Wear wear_until_gone(const FittedAnode& anode, std::span<const Weighing> weighings, Due due) {
    Wear wear{};
    const double least_g_day = least_rate_kg_day(weighings) * g_a_kg;
    wear.rate_g_day = {least_g_day, std::numeric_limits<double>::infinity()};
    wear.rate_middle_g_day = least_g_day;
    wear.gone_by = anode.seen[weighings.size() - 2].at;
    wear.renew_from = anode.fitted;
    wear.renew_to = wear.gone_by;
    for (std::size_t i = weighings.size() - 2; i > 0; --i) {
        const Instant at = anode.seen[i - 1].at;
        if (due.is_ahead(weighings[i])) wear.renew_from = std::max(*wear.renew_from, at);
        if (due.is_past(weighings[i])) wear.renew_to = at;
    }
    wear.is_due = true;
    wear.is_wasting = true;
    wear.new_mass_kg = anode.new_mass_kg;
    wear.centre = anode.fitted;
    return wear;
}

} // namespace

Result<Wear> wear_of(const FittedAnode& anode, double renew_at_gone) {
    const auto weighings = weighings_of(anode);
    if (auto error = what_cannot_be(anode, weighings)) return *error;
    if (weighings.size() < 2)
        return Error{ErrorCode::not_found,
                     anode.place + ": nothing is known of it since it was fitted", "",
                     "Weigh it at the next haul-out, or judge by volume what is left"};
    const Due due{anode.new_mass_kg * (1 - renew_at_gone)};
    const auto gone = std::ranges::find(weighings, 0, &Weighing::mass_kg);
    if (gone != weighings.end()) return wear_until_gone(anode, {weighings.begin(), gone + 1}, due);
    const Line line = line_through(weighings);
    const double slope_limit = line.factor * std::sqrt(line.slope_variance);
    Wear wear{};
    wear.rate_middle_g_day = -line.slope_kg_day * g_a_kg;
    wear.rate_g_day = {wear.rate_middle_g_day - slope_limit * g_a_kg,
                       wear.rate_middle_g_day + slope_limit * g_a_kg};
    wear.new_mass_kg = anode.new_mass_kg;
    wear.centre = after_days(anode.fitted, line.centre_day);
    wear.centre_kg = line.centre_kg;
    wear.centre_uncertainty_kg = line.factor * std::sqrt(line.centre_variance);
    wear.rate_uncertainty_kg_day = slope_limit;
    decide_when_due(wear, anode, weighings, line, due);
    return wear;
}

Range current_of_wear_a(Range rate_g_day, Alloy alloy) {
    const Range wasting{std::max(rate_g_day.low, 0.0), std::max(rate_g_day.high, 0.0)};
    return times(times(wasting, 1 / g_a_kg / hours_a_day), facts_of(alloy).capacity_ah_kg);
}

Range mass_used_kg(Range current_a, double days, Alloy alloy) {
    return over(times(current_a, days * hours_a_day), facts_of(alloy).capacity_ah_kg);
}

Lasting lasts_until(const Wear& wear, Instant day) {
    if (wear.is_due || (wear.renew_to && day > *wear.renew_to)) return Lasting::no;
    if (!wear.renew_from || day < *wear.renew_from) return Lasting::yes;
    return Lasting::perhaps;
}

RenewalCost cost_of_renewing_now(double share_left, double renew_at_gone, double anode_price,
                                 double haul_out_price) {
    const double still_usable = std::clamp(share_left - (1 - renew_at_gone), 0.0, renew_at_gone);
    const double thrown_away = anode_price * still_usable / renew_at_gone;
    return {thrown_away, haul_out_price, thrown_away < haul_out_price};
}

} // namespace quaycell

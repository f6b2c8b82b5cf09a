#include "diagnosis/trace_evidence.h"

#include "diagnosis/galvanic_series.h"
#include "diagnosis/practice.h"
#include "electrode/chloride.h"

#include <algorithm>
#include <cmath>
#include <fmt/chrono.h>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// What a change is weighed by: the limit of interference in sea water, [mV].
constexpr double sea_interference_mv = 20;

std::string times_text(std::size_t count) {
    return count == 1 ? "once" : fmt::format("{} times", count);
}

/// More negative than the hull's metal lies by itself: something holds it there.
bool anodes_are_at_work(const TraceFacts& f) {
    const Result<Range> psu = salinity_range_of(f.boat.water);
    return psu && psu->low >= series_from_psu &&
           f.judged.statistics.median_mv < free_potential_of(f.boat.hull).potential_mv.low;
}

std::string beyond_own_text(const TraceFacts& f) {
    const FreePotential& own = free_potential_of(f.boat.hull);
    return fmt::format(
        "the median, {:.0f} mV, is more negative than {} by itself ({:.0f} to {:.0f} "
        "mV)",
        f.judged.statistics.median_mv, own.metal, own.potential_mv.low, own.potential_mv.high);
}

} // namespace

std::size_t TraceFacts::count(EventKind kind) const {
    return static_cast<std::size_t>(std::ranges::count(judged.events, kind, &Event::kind));
}

double TraceFacts::by_plugging_mv() const {
    return judged.shore.plugged_median_mv - judged.shore.unplugged_median_mv;
}

double TraceFacts::largest_mv(EventKind kind) const {
    double largest = 0;
    for (const Event& event : judged.events)
        if (event.kind == kind && std::abs(event.change_mv) > std::abs(largest))
            largest = event.change_mv;
    return largest;
}

void shore_earth(const TraceFacts& f, Evidence& evidence) {
    const double by_mv = f.by_plugging_mv();
    if (std::isnan(by_mv)) return;
    if (std::isnan(f.judged.shore.ac_p95_mv))
        evidence.against_it(0.3, "no AC was measured: that shore power was plugged in is inferred "
                                 "from the level");
    if (by_mv > 0)
        evidence.for_it(by_mv / sea_interference_mv,
                        fmt::format("plugged in, the potential is {:.0f} mV less negative", by_mv));
    else
        evidence.against_it(1, "plugged in, the potential is more negative, not less");
    if (by_mv > 0 && by_mv < practice("isolated"))
        evidence.against_it(0.5, "the difference is as small as a good isolator leaves it");
    if (f.judged.share.under_protected > 0 && by_mv > 0)
        evidence.for_it(1, fmt::format("under-protected for {:.0f} % of the time",
                                       100 * f.judged.share.under_protected));
    if (f.judged.share.over_protected > f.judged.share.under_protected && by_mv > 0)
        evidence.against_it(2, "the hull is over-protected: what makes it less negative does not "
                               "harm it");
}

void too_much_anode(const TraceFacts& f, Evidence& evidence) {
    const double share = f.judged.share.over_protected;
    if (share > 0)
        evidence.for_it(4 * share,
                        fmt::format("over-protected for {:.0f} % of the time", 100 * share));
    const Trend& trend = f.judged.trend;
    if (const auto& exit = f.judged.band_exit; exit && trend.mv_per_day < 0)
        evidence.for_it(0.5, fmt::format("the undisturbed potential drifts by {:.2f} mV a day "
                                         "toward more negative, and at that rate over-protection, "
                                         "{:.0f} mV, is reached from {:%Y-%m-%d} on",
                                         -trend.mv_per_day, exit->limit_mv, exit->earliest));
}

void fed_by_the_dock(const TraceFacts& f, Evidence& evidence) {
    const double by_mv = f.by_plugging_mv();
    if (!(by_mv < -practice("isolated"))) return;
    evidence.for_it(-by_mv / sea_interference_mv,
                    fmt::format("unplugged, the potential is {:.0f} mV less negative", -by_mv));
}

void stray_current_aboard(const TraceFacts& f, Evidence& evidence) {
    const double by_mv = f.by_plugging_mv();
    if (by_mv < -practice("isolated"))
        evidence.for_it(0.5, "unplugged, the potential is less negative: a current of the boat's "
                             "own would show so, too");
    if (f.count(EventKind::repeated_load) > 0 && evidence.weight > 0)
        evidence.for_it(0.5, "a load aboard moves the potential as well");
}

void own_load(const TraceFacts& f, Evidence& evidence) {
    const std::size_t loads = f.count(EventKind::repeated_load);
    if (loads == 0) return;
    const double height_mv = f.largest_mv(EventKind::repeated_load);
    evidence.for_it(1 + std::abs(height_mv) / sea_interference_mv,
                    fmt::format("{} of equal steps, up to {:.0f} mV high",
                                loads == 1 ? "one series" : fmt::format("{} series", loads),
                                std::abs(height_mv)));
    if (height_mv > 0)
        evidence.for_it(0.5, "they are toward less negative: the metal gives current away");
    else
        evidence.against_it(0.3, "they are toward more negative: the metal takes current up");
    if (std::abs(height_mv) < practice("load-told"))
        evidence.against_it(
            0.5, fmt::format("below {:.0f} mV a load is hardly a leak", practice("load-told")));
}

void isolator_or_open_earth(const TraceFacts& f, Evidence& evidence) {
    const std::size_t rises = f.count(EventKind::ac_rise) + f.count(EventKind::ac_fall);
    if (rises > 0)
        evidence.for_it(1 + 0.1 * static_cast<double>(rises),
                        fmt::format("AC changed {} and the potential stayed", times_text(rises)));
    const double by_mv = std::abs(f.by_plugging_mv());
    if (by_mv < practice("isolated"))
        evidence.for_it(1, "plugged in and unplugged the potential is the same");
    else if (by_mv >= practice("isolated") && evidence.weight > 0)
        evidence.against_it(0.5,
                            fmt::format("at other times plugging in moved it by {:.0f} mV", by_mv));
}

void wasting_anodes(const TraceFacts& f, Evidence& evidence) {
    const Trend& trend = f.judged.trend;
    if (!trend.why_none.empty() || !trend.significant || trend.mv_per_day <= 0) return;
    evidence.for_it(2,
                    fmt::format("the undisturbed potential drifts by {:.2f} mV a day toward less "
                                "negative ({:.2f} to {:.2f})",
                                trend.mv_per_day, trend.low, trend.high));
    if (f.judged.share.under_protected > 0)
        evidence.for_it(0.5, "it was under-protected already at times");
    if (const auto& exit = f.judged.band_exit)
        evidence.for_it(0.5, fmt::format("at that rate the end of the band, {:.0f} mV, is reached "
                                         "from {:%Y-%m-%d} on",
                                         exit->limit_mv, exit->earliest));
}

void idle_anodes(const TraceFacts& f, Evidence& evidence) {
    if (!(f.judged.share.under_protected > practice("mostly"))) return;
    evidence.for_it(1, fmt::format("under-protected for {:.0f} % of the time",
                                   100 * f.judged.share.under_protected));
    if (anodes_are_at_work(f))
        evidence.against_it(2, fmt::format("{}: anodes are at work", beyond_own_text(f)));
    const Trend& trend = f.judged.trend;
    if (trend.why_none.empty() && !trend.significant)
        evidence.for_it(0.5, "the potential does not drift, as it does while anodes waste");
    if (trend.why_none.empty() && trend.significant && trend.mv_per_day > 0)
        evidence.against_it(0.5, "the potential drifts toward less negative: anodes that waste do "
                                 "that, idle ones do not");
    if (f.by_plugging_mv() > practice("isolated"))
        evidence.against_it(0.5, "unplugged, the potential is more negative: something holds it");
    if (f.count(EventKind::settling) > 0)
        evidence.against_it(0.5, "some of it was read while hull or anodes were settling");
}

void spent_anodes(const TraceFacts& f, Evidence& evidence) {
    if (!(f.judged.share.under_protected > practice("mostly"))) return;
    if (!anodes_are_at_work(f)) return;
    evidence.for_it(1, fmt::format("under-protected for {:.0f} % of the time",
                                   100 * f.judged.share.under_protected));
    evidence.for_it(0.5, beyond_own_text(f));
    if (f.by_plugging_mv() > practice("isolated"))
        evidence.against_it(0.5, "unplugged, the potential is more negative");
}

void drifting_cell(const TraceFacts& f, Evidence& evidence) {
    const Trend& trend = f.judged.trend;
    if (!trend.why_none.empty() || !trend.significant) return;
    evidence.for_it(0.6, fmt::format("the reading drifts by {:+.2f} mV a day, and shows hull and "
                                     "cell in one",
                                     trend.mv_per_day));
    if (f.count(EventKind::cells_disagree) > 0)
        evidence.for_it(1, "two cells in the same water have parted");
}

void settling_anodes(const TraceFacts& f, Evidence& evidence) {
    for (const Settling& decay : f.judged.settling)
        evidence.for_it(1, fmt::format("the potential came down by {:.0f} mV within some {:.0f} h",
                                       decay.size_mv, 3 * decay.time_constant_h));
    if (f.judged.settling.empty() && f.count(EventKind::settling) > 0)
        evidence.for_it(0.5, "launch or new anodes lie less than a day before some readings");
}

void cell_in_doubt(const TraceFacts& f, Evidence& evidence) {
    if (f.count(EventKind::cells_disagree) > 0)
        evidence.for_it(3, "two cells in the same water have parted");
    if (const auto dry = f.count(EventKind::cell_dry); dry > 0)
        evidence.for_it(1, fmt::format("the cell was out of the water {}", times_text(dry)));
}

void lead_in_doubt(const TraceFacts& f, Evidence& evidence) {
    if (const auto open = f.count(EventKind::open_lead); open > 0)
        evidence.for_it(1.5, fmt::format("a lead was open {}", times_text(open)));
    if (f.count(EventKind::polarity_reversed) > 0)
        evidence.for_it(3, "the potential had its sign turned");
}

void thinning_water(const TraceFacts& f, Evidence& evidence) {
    if (!f.element_in_water) return;
    for (const Cycle& cycle : f.judged.cycles.found)
        if (cycle.name.starts_with("tide") && cycle.amplitude_mv >= practice("tide-asked"))
            evidence.for_it(0.2 + cycle.amplitude_mv / 20,
                            fmt::format("the tide moves the reading by {:.0f} mV up and down",
                                        cycle.amplitude_mv));
    const Result<Range> psu = salinity_range_of(f.boat.water);
    if (evidence.weight > 0 && f.judged.share.protected_ > 0)
        evidence.for_it(0.1, fmt::format("\"protected\" for {:.0f} % of the time may be more than "
                                         "there was",
                                         100 * f.judged.share.protected_));
    if (evidence.weight > 0 && psu && psu->low == psu->high)
        evidence.against_it(0.1, "the salinity was stated as one value");
}

} // namespace quaycell

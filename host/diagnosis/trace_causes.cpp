#include "diagnosis/trace_causes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {
namespace {

/// With a good isolator plugging in moves the potential by less (our judgement, beside 5 to 10 mV
/// of practice), [mV].
constexpr double isolated_mv = 10;
/// A tide that moves the reading by more may be the cell's own answer to the salinity, [mV].
constexpr double tide_worth_asking_mv = 3;

struct Facts {
    const JudgedTrace& judged;
    const BoatInWater& boat;
    bool element_in_water;

    std::size_t count(EventKind kind) const {
        return static_cast<std::size_t>(std::ranges::count(judged.events, kind, &Event::kind));
    }
    /// By how much plugging in moves the potential; missing where it was not seen.
    double by_plugging_mv() const {
        return judged.shore.plugged_median_mv - judged.shore.unplugged_median_mv;
    }
    double largest_mv(EventKind kind) const {
        double largest = 0;
        for (const Event& event : judged.events)
            if (event.kind == kind && std::abs(event.change_mv) > std::abs(largest))
                largest = event.change_mv;
        return largest;
    }
};

/// What was found for a cause and against it, as it is collected.
struct Evidence {
    double weight = 0; ///< above 0 it is told; the heavier the earlier
    std::vector<std::string> speaks_for;
    std::vector<std::string> speaks_against;

    void for_it(double by, std::string words) {
        weight += by;
        speaks_for.push_back(std::move(words));
    }
    void against_it(double by, std::string words) {
        weight -= by;
        speaks_against.push_back(std::move(words));
    }
};

std::string times_text(std::size_t count) {
    return count == 1 ? "once" : fmt::format("{} times", count);
}

void shore_earth(const Facts& f, Evidence& evidence) {
    const double by_mv = f.by_plugging_mv();
    if (std::isnan(by_mv)) return;
    if (by_mv > 0)
        evidence.for_it(by_mv / interference_mv,
                        fmt::format("plugged in, the potential is {:.0f} mV less negative", by_mv));
    else
        evidence.against_it(1, "plugged in, the potential is more negative, not less");
    if (by_mv > 0 && by_mv < isolated_mv)
        evidence.against_it(0.5, "the difference is as small as a good isolator leaves it");
    if (f.judged.share.under_protected > 0 && by_mv > 0)
        evidence.for_it(1, fmt::format("under-protected for {:.0f} % of the time",
                                       100 * f.judged.share.under_protected));
}

void fed_by_the_dock(const Facts& f, Evidence& evidence) {
    const double by_mv = f.by_plugging_mv();
    if (!(by_mv < -isolated_mv)) return;
    evidence.for_it(-by_mv / interference_mv,
                    fmt::format("unplugged, the potential is {:.0f} mV less negative", -by_mv));
}

void stray_current_aboard(const Facts& f, Evidence& evidence) {
    const double by_mv = f.by_plugging_mv();
    if (by_mv < -isolated_mv)
        evidence.for_it(0.5, "unplugged, the potential is less negative: a current of the boat's "
                             "own would show so, too");
    if (f.count(EventKind::repeated_load) > 0 && evidence.weight > 0)
        evidence.for_it(0.5, "a load aboard moves the potential as well");
}

void own_load(const Facts& f, Evidence& evidence) {
    const std::size_t loads = f.count(EventKind::repeated_load);
    if (loads == 0) return;
    const double height_mv = f.largest_mv(EventKind::repeated_load);
    evidence.for_it(1 + std::abs(height_mv) / interference_mv,
                    fmt::format("{} of equal steps, up to {:.0f} mV high",
                                loads == 1 ? "one series" : fmt::format("{} series", loads),
                                std::abs(height_mv)));
    if (height_mv > 0)
        evidence.for_it(0.5, "they are toward less negative: the metal gives current away");
}

void isolator_or_open_earth(const Facts& f, Evidence& evidence) {
    const std::size_t rises = f.count(EventKind::ac_rise) + f.count(EventKind::ac_fall);
    if (rises > 0)
        evidence.for_it(1 + 0.1 * static_cast<double>(rises),
                        fmt::format("AC changed {} and the potential stayed", times_text(rises)));
    const double by_mv = std::abs(f.by_plugging_mv());
    if (by_mv < isolated_mv)
        evidence.for_it(1, "plugged in and unplugged the potential is the same");
    else if (by_mv >= isolated_mv && evidence.weight > 0)
        evidence.against_it(0.5,
                            fmt::format("at other times plugging in moved it by {:.0f} mV", by_mv));
}

void stray_current_outside(const Facts& f, Evidence& evidence) {
    const std::size_t steps = f.count(EventKind::step);
    if (steps == 0) return;
    const double largest_mv = f.largest_mv(EventKind::step);
    evidence.for_it(0.3 * static_cast<double>(std::min<std::size_t>(steps, 5)),
                    fmt::format("{} a step that nothing aboard explains, up to {:.0f} mV",
                                times_text(steps), std::abs(largest_mv)));
    if (largest_mv > interference_mv)
        evidence.for_it(1, fmt::format("more than the {:.0f} mV toward less negative that count as "
                                       "interference",
                                       interference_mv));
}

void wasting_anodes(const Facts& f, Evidence& evidence) {
    const Trend& trend = f.judged.trend;
    if (!trend.why_none.empty() || !trend.significant || trend.mv_per_day <= 0) return;
    evidence.for_it(2,
                    fmt::format("the undisturbed potential drifts by {:.2f} mV a day toward less "
                                "negative ({:.2f} to {:.2f})",
                                trend.mv_per_day, trend.low, trend.high));
    if (f.judged.share.under_protected > 0)
        evidence.for_it(0.5, "it was under-protected already at times");
}

void settling_anodes(const Facts& f, Evidence& evidence) {
    for (const Settling& decay : f.judged.settling)
        evidence.for_it(1, fmt::format("the potential came down by {:.0f} mV within some {:.0f} h",
                                       decay.size_mv, 3 * decay.time_constant_h));
    if (f.judged.settling.empty() && f.count(EventKind::settling) > 0)
        evidence.for_it(0.5, "launch or new anodes lie less than a day before some readings");
}

void cell_in_doubt(const Facts& f, Evidence& evidence) {
    if (f.count(EventKind::cells_disagree) > 0)
        evidence.for_it(3, "two cells in the same water have parted");
    if (const auto dry = f.count(EventKind::cell_dry); dry > 0)
        evidence.for_it(1, fmt::format("the cell was out of the water {}", times_text(dry)));
}

void lead_in_doubt(const Facts& f, Evidence& evidence) {
    if (const auto open = f.count(EventKind::open_lead); open > 0)
        evidence.for_it(1.5, fmt::format("a lead was open {}", times_text(open)));
    if (f.count(EventKind::polarity_reversed) > 0)
        evidence.for_it(3, "the potential had its sign turned");
}

void thinning_water(const Facts& f, Evidence& evidence) {
    if (!f.element_in_water) return;
    for (const Cycle& cycle : f.judged.cycles.found)
        if (cycle.name.starts_with("tide") && cycle.amplitude_mv >= tide_worth_asking_mv)
            evidence.for_it(0.2 + cycle.amplitude_mv / 20,
                            fmt::format("the tide moves the reading by {:.0f} mV up and down",
                                        cycle.amplitude_mv));
    const Result<Range> psu = salinity_range_of(f.boat.water);
    if (evidence.weight > 0 && psu && psu->low == psu->high)
        evidence.against_it(0.1, "the salinity was stated as one value");
}

struct Row {
    std::string_view id;
    void (*weigh)(const Facts&, Evidence&);
    std::string_view cause;
    std::string_view test;
    std::string_view caution;
    std::string_view source;
    std::string_view status;
};

constexpr std::string_view book =
    "E. Sherman, Advanced Marine Electrics and Electronics Troubleshooting, p. 112 to 114";
constexpr std::string_view earth_stays =
    "Unplug the whole cord. Never lift, cut or bypass the protective earth.";
constexpr std::string_view nobody_in = "Nobody goes into the water at a dock with power on it. "
                                       "What the AC comes from is for a licensed "
                                       "electrician to find.";

constexpr std::array rows{
    Row{"shore-earth", shore_earth,
        "The shore's protective earth ties the hull to the metal of the dock and of other boats, "
        "and "
        "the anodes protect them, too.",
        "Read plugged in, unplugged, and the dock's earth by itself: plugged in should lie between "
        "the "
        "other two. A galvanic isolator or an isolating transformer ends it.",
        earth_stays, book, "read"},
    Row{"fed-by-the-dock", fed_by_the_dock,
        "The dock's earth, or what hangs on it, was feeding the boat: without it the boat's own "
        "anodes do not hold the hull.",
        "Look at the anodes; read the dock's earth by itself.", earth_stays, book,
        "read; which of both comes first is inferred"},
    Row{"stray-current-aboard", stray_current_aboard,
        "A direct current aboard finds its way through the water.",
        "Disconnect the battery at its terminals and read again.",
        "Stop engines and chargers first, and keep tools off the other terminal.", book, "read"},
    Row{"own-load", own_load,
        "A load aboard, a pump or a charger, leaks direct current whenever it runs.",
        "Switch it off, or on, by hand and watch the potential.", "", "trace practice",
        "our judgement"},
    Row{"isolator-or-open-earth", isolator_or_open_earth,
        "The isolator or transformer does its work; or the protective earth is open, which is a "
        "hazard and looks the same.",
        "Have the protective earth from the shore's socket to the boat tested.", nobody_in, book,
        "read"},
    Row{"stray-current-outside", stray_current_outside,
        "Direct current from a neighbour or from the dock.",
        "Unplug the whole cord while it lasts: what stays comes through the water.", earth_stays,
        "EN 50162:2004 table 1; trace practice", "transcribed; our judgement"},
    Row{"wasting-anodes", wasting_anodes, "The anodes waste away, or film over.",
        "Look at them at low water or at the next haul-out: renew what is half gone.",
        "Looking from the water counts as being in it: not with power at the dock.",
        "trade practice", "common practice, no source"},
    Row{"settling", settling_anodes, "The hull settles after launch or with new anodes.",
        "Judge by the readings after the first day.", "", "surveyors' lexicon", "read"},
    Row{"cell-in-doubt", cell_in_doubt, "The reference cell cannot be trusted throughout.",
        "Compare it with another cell in the same water (quaycell check-cell).", "",
        "survey practice", "from memory"},
    Row{"lead-in-doubt", lead_in_doubt, "A lead was open, or on the wrong side.",
        "Look at clip, plug and cable, and read again.", "", "survey practice",
        "common practice, no source"},
    Row{"thinning-water", thinning_water,
        "The cell is a bare element: when fresh water comes down it reads more negative by itself, "
        "as if the hull were better protected.",
        "Measure the salinity at high and at low water, and give it as a range.", "",
        "Nernst slope of the chloride, 57 mV a decade", "computed"},
};

} // namespace

std::vector<TraceCause> trace_causes(const JudgedTrace& judged, const BoatInWater& boat,
                                     bool element_in_water) {
    const Facts facts{judged, boat, element_in_water};
    std::vector<std::pair<double, TraceCause>> found;
    for (const Row& row : rows) {
        Evidence evidence;
        row.weigh(facts, evidence);
        if (evidence.weight > 0)
            found.push_back({evidence.weight,
                             {row.id, row.cause, std::move(evidence.speaks_for),
                              std::move(evidence.speaks_against), row.test, row.caution, row.source,
                              row.status}});
    }
    std::ranges::stable_sort(found, std::ranges::greater{}, &std::pair<double, TraceCause>::first);
    std::vector<TraceCause> causes;
    causes.reserve(found.size());
    for (auto& [weight, cause] : found)
        causes.push_back(std::move(cause));
    return causes;
}

} // namespace quaycell

// What steps that nothing aboard explains speak for.
#include "diagnosis/galvanic_series.h"
#include "diagnosis/interference.h"
#include "diagnosis/trace_evidence.h"
#include "electrode/chloride.h"
#include "series/robust.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// A step lasts when what follows it takes no more than this part of it back (our judgement).
constexpr double taken_back = 0.5;
/// The readings that tell where a trace ends up: this part of them, or so many.
constexpr std::size_t end_part = 100, least_at_end = 10;

/// How far the steps lead toward less negative of wherever they have led before, [mV]. A return
/// from an excursion to the more negative is none.
double rise_above_before_mv(const std::vector<Event>& events) {
    double level_mv = 0, highest_mv = 0, rise_mv = 0;
    for (const Event& event : events) {
        if (event.kind != EventKind::step || std::isnan(event.change_mv)) continue;
        level_mv += event.change_mv;
        rise_mv = std::max(rise_mv, level_mv - highest_mv);
        highest_mv = std::max(highest_mv, level_mv);
    }
    return rise_mv;
}

/// The largest step toward less negative that no later one takes back, [mV]; 0 where there is none.
double lasting_rise_mv(const std::vector<Event>& events) {
    double largest_mv = 0;
    for (auto event = events.begin(); event != events.end(); ++event) {
        if (event->kind != EventKind::step || !(event->change_mv > largest_mv)) continue;
        double after_mv = 0, lowest_mv = 0;
        for (auto later = event + 1; later != events.end(); ++later)
            if (later->kind == EventKind::step && !std::isnan(later->change_mv)) {
                after_mv += later->change_mv;
                lowest_mv = std::min(lowest_mv, after_mv);
            }
        if (lowest_mv > -taken_back * event->change_mv) largest_mv = event->change_mv;
    }
    return largest_mv;
}

/// The median of the last readings that show the hull; missing where there are none.
double level_at_end_mv(const Column<double>& standard_mv) {
    const std::size_t count = std::max(standard_mv.size() / end_part, least_at_end);
    const std::size_t first = standard_mv.size() - std::min(count, standard_mv.size());
    return median_of(standard_mv, first, standard_mv.size());
}

/// How the hull's metal lies by itself where the trace ends, in words; empty where it does not, or
/// where it is protected all the same.
std::string freely_corroding(const TraceFacts& f) {
    const Result<Range> psu = salinity_range_of(f.boat.water);
    if (!psu || psu->low < series_from_psu) return "";
    if (f.judged.spells.empty() || f.judged.spells.back().verdict != Verdict::under_protected)
        return "";
    const FreePotential& own = free_potential_of(f.boat.hull);
    const double mv = level_at_end_mv(f.judged.standard_mv);
    if (!(mv >= own.potential_mv.low)) return "";
    return fmt::format("it ends at {:.0f} mV, {} {} by itself ({:.0f} to {:.0f} mV)", mv,
                       mv <= own.potential_mv.high ? "as" : "less negative than", own.metal,
                       own.potential_mv.low, own.potential_mv.high);
}

} // namespace

void stray_current_outside(const TraceFacts& f, Evidence& evidence) {
    const std::size_t steps = f.count(EventKind::step);
    if (steps == 0) return;
    evidence.for_it(0.3 * static_cast<double>(std::min<std::size_t>(steps, 5)),
                    fmt::format("{} a step that nothing aboard explains, up to {:.0f} mV",
                                steps == 1 ? "once" : fmt::format("{} times", steps),
                                std::abs(f.largest_mv(EventKind::step))));
    const double limit_mv = interference_limit_mv(f.boat.water);
    const double rise_mv = rise_above_before_mv(f.judged.events);
    if (rise_mv > limit_mv)
        evidence.for_it(1,
                        fmt::format("by {:.0f} mV toward less negative, more than the {:.0f} mV "
                                    "that count as interference in this water ({}, {})",
                                    rise_mv, limit_mv, interference_source, interference_status));
    if (rise_mv == 0)
        evidence.against_it(0.1,
                            "never toward less negative than before: where the potential is more "
                            "negative the metal takes current up, and does not waste by it");
    if (lasting_rise_mv(f.judged.events) > limit_mv && !freely_corroding(f).empty())
        evidence.against_it(1, "the step toward less negative lasts; a current comes and goes");
}

void protection_lost(const TraceFacts& f, Evidence& evidence) {
    const double lasting_mv = lasting_rise_mv(f.judged.events);
    // What would count as interference if it came and went is a step worth explaining.
    if (!(lasting_mv > interference_limit_mv(f.boat.water))) return;
    const std::string by_itself = freely_corroding(f);
    if (by_itself.empty()) return;
    evidence.for_it(2, fmt::format("the potential stepped by {:.0f} mV toward less negative and "
                                   "stayed there",
                                   lasting_mv));
    evidence.for_it(2, by_itself);
}

} // namespace quaycell

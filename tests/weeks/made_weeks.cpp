// Holds what is found in made weeks against what was put in: recall and precision of every kind of
// event, shares of time, quiet weeks without any event, and the trend of long records.
//
// usage: made_weeks COUNT [FIRST_SEED]    prints a table; exits 1 where a promise is broken
//        made_weeks --show SEED           what was put in and what was found in one week
#include "made_week.h"
#include "series/events.h"
#include "series/trend.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <fmt/format.h>
#include <map>

using namespace quaycell;
using namespace quaycell::weeks;

namespace {

constexpr double least_recall = 0.95;
constexpr double least_precision = 0.95;
constexpr double least_quiet = 0.99;
constexpr double least_covered = 0.93;
constexpr double share_off = 0.005;

struct Count {
    int put_in = 0;
    int found = 0; ///< of those put in
    int told = 0;
};

Happenings happenings_in(const MadeTrace& made) {
    return happenings_of(made.trace, made.trace.potential_mv, coverage_of(made.trace.time));
}

/// The event that tells this one: of its kind, within two intervals, not taken yet.
bool take(const TrueEvent& truth, std::vector<Event>& events, Milliseconds interval) {
    const auto told = std::ranges::find_if(events, [&](const Event& event) {
        return event.kind == truth.kind &&
               std::chrono::abs(event.time - truth.time) <= 2 * interval;
    });
    if (told == events.end()) return false;
    events.erase(told);
    return true;
}

/// How much of the time that shows the hull is read above the limit, beside how much it was.
double share_error(const MadeTrace& made, const Happenings& found) {
    const Coverage coverage = coverage_of(made.trace.time);
    Milliseconds above{0}, hull{0};
    for (std::size_t i = 0; i < made.trace.time.size(); ++i) {
        if (!found.shows_hull[i]) continue;
        hull += coverage.stands_for[i];
        if (made.trace.potential_mv[i] > limit_mv) above += coverage.stands_for[i];
    }
    return std::abs(static_cast<double>(above.count()) / static_cast<double>(hull.count()) -
                    made.true_share_above);
}

void show(std::uint64_t seed) {
    const MadeTrace made = make_trace({seed});
    fmt::print("interval {} s, noise {:.2f} mV, drift {:.2f} mV/day\n",
               made.interval.count() / 1000, made.noise_mv, made.drift_mv_per_day);
    const Happenings found = happenings_in(made);
    for (const Cycle& cycle : found.cycles.found)
        fmt::print("cycle {} {:.1f} +- {:.1f} mV\n", cycle.name, cycle.amplitude_mv,
                   cycle.uncertainty_mv);
    for (const TrueEvent& truth : made.truth)
        fmt::print("put in {} {:<18} {:7.1f}\n", to_text(truth.time), name_of(truth.kind),
                   truth.height_mv);
    for (const Event& event : found.events)
        fmt::print("found  {} {:<18} {:7.1f}  {}\n", to_text(event.time), name_of(event.kind),
                   event.change_mv, event.why);
}

bool weeks_hold(int count, std::uint64_t first) {
    std::map<EventKind, Count> counts;
    int quiet = 0, heavy = 0, calm = 0, shares = 0;
    for (int i = 0; i < count; ++i) {
        const std::uint64_t seed = first + static_cast<std::uint64_t>(i);
        const bool is_quiet = i % 4 == 3;
        const bool is_heavy = i % 8 == 7;
        const MadeTrace made =
            make_trace({.seed = seed, .quiet = is_quiet, .heavy_tails = is_heavy});
        const Happenings happenings = happenings_in(made);
        const double off = share_error(made, happenings);
        shares += off <= share_off;
        if (off > share_off) fmt::print("week {}: a share is off by {:.2f} %\n", seed, 100 * off);
        std::vector<Event> events = happenings.events;
        if (is_quiet) {
            ++quiet;
            heavy += is_heavy;
            calm += events.empty();
            if (!events.empty())
                fmt::print("quiet week {}: {} {}\n", seed, name_of(events[0].kind), events[0].why);
            continue;
        }
        for (const Event& event : events)
            ++counts[event.kind].told;
        bool missed = false;
        for (const TrueEvent& truth : made.truth) {
            Count& each = counts[truth.kind];
            ++each.put_in;
            const bool found = take(truth, events, made.interval);
            each.found += found;
            missed = missed || !found;
        }
        if (missed || !events.empty()) fmt::print("week {} differs\n", seed);
    }
    bool holds = true;
    fmt::print("{:<20}{:>8}{:>8}{:>10}\n", "kind", "put in", "recall", "precision");
    for (const auto& [kind, each] : counts) {
        const double recall = each.put_in == 0 ? 1 : double(each.found) / each.put_in;
        const double precision = each.told == 0 ? 1 : double(each.found) / each.told;
        fmt::print("{:<20}{:>8}{:>8.3f}{:>10.3f}\n", name_of(kind), each.put_in, recall, precision);
        holds = holds && recall >= least_recall && precision >= least_precision;
    }
    fmt::print("{} of {} quiet weeks without an event; {} of them with heavy-tailed noise\n", calm,
               quiet, heavy);
    fmt::print("shares of time within {:.1f} % in {} of {} weeks\n", 100 * share_off, shares,
               count);
    return holds && calm >= least_quiet * quiet && shares == count;
}

bool trends_hold(int count, std::uint64_t first) {
    int covered = 0;
    for (int i = 0; i < count; ++i) {
        const std::uint64_t seed = first + static_cast<std::uint64_t>(i);
        const int days = 30 + static_cast<int>(seed * 37 % 91);
        const MadeTrace made = make_trace({seed, days});
        const LevelBlocks found = happenings_in(made).undisturbed_blocks;
        const Trend trend = trend_of(found.time, found.mv, found.stands_for, found.level);
        const bool holds =
            trend.low <= made.drift_mv_per_day && made.drift_mv_per_day <= trend.high;
        covered += holds;
        if (!holds)
            fmt::print("record {} of {} days: {:.3f} to {:.3f}, truly {:.3f} mV/day {}\n", seed,
                       days, trend.low, trend.high, made.drift_mv_per_day, trend.why_none);
    }
    fmt::print("the trend's interval covers the truth in {} of {} records of 30 to 120 days\n",
               covered, count);
    return covered >= least_covered * count;
}

} // namespace

int main(int argc, char** argv) {
    if (argc == 3 && std::strcmp(argv[1], "--show") == 0) {
        show(std::strtoull(argv[2], nullptr, 10));
        return 0;
    }
    const int count = argc > 1 ? std::atoi(argv[1]) : 0;
    if (count <= 0) {
        fmt::print(stderr, "usage: made_weeks COUNT [FIRST_SEED] or made_weeks --show SEED\n");
        return 2;
    }
    const std::uint64_t first = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 1;
    const bool weeks = weeks_hold(count, first);
    const bool trends = trends_hold((3 * count + 9) / 10, first);
    return weeks && trends ? 0 : 1;
}

#include "series/shown.h"

#include "base/aside.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

struct TimedValues {
    std::vector<Instant> time;
    std::vector<double> value;
};

void put(const TimedValues& values, BlockMaker& blocks) {
    for (std::size_t i = 0; i < values.time.size(); ++i)
        blocks.add(values.time[i], values.value[i]);
}

/// So many are handed over at once, and so often before the other thread has taken them.
constexpr std::size_t values_together = column_piece;
constexpr std::size_t most_waiting = 4;

} // namespace

template <typename Value>
Column<Value> Shown::in_runs(const Runs& runs, std::size_t size, const Column<Value>& by_row) {
    return {size, [runs, by_row](std::size_t first, std::span<Value> out) {
                auto run = std::ranges::upper_bound(*runs, first, {}, &Run::first) - 1;
                while (!out.empty()) {
                    const std::size_t into = first - run->first;
                    const std::size_t count = std::min(run->count - into, out.size());
                    by_row.read(run->row + into, out.first(count));
                    out = out.subspan(count);
                    first += count;
                    ++run;
                }
            }};
}

Shown::Shown(const Readings& trace, const Column<double>& standard_mv,
             const std::vector<bool>& shows_hull, BlockMaker& blocks)
    : rows_(trace.time.size()) {
    // Half of the work is making the values, the other half putting them into blocks.
    Aside<TimedValues> making_blocks([&blocks](TimedValues& values) { put(values, blocks); },
                                     most_waiting);
    TimedValues next;
    std::vector<Run> runs;
    std::size_t count = 0, joint = 0;
    for (std::size_t row = 0; row < rows_;) {
        const std::size_t from = row;
        const auto times = trace.time.from(from);
        const auto values_mv = standard_mv.from(from);
        for (std::size_t i = 0; i < std::min(times.size(), values_mv.size()); ++i) {
            const double each_mv = values_mv[i];
            const std::size_t here = row++;
            if (!std::isfinite(each_mv) || !shows_hull[here]) continue;
            bool is_first = count == 0;
            for (; joint < trace.joints.size() && trace.joints[joint].first <= here; ++joint)
                is_first = true;
            if (is_first) begins.push_back(count);
            if (runs.empty() || runs.back().row + runs.back().count != here)
                runs.push_back({here, count, 0});
            ++runs.back().count;
            ++count;
            next.time.push_back(times[i]);
            next.value.push_back(each_mv);
        }
        if (next.time.size() < values_together) continue;
        next = making_blocks.give(std::move(next));
        next.time.clear();
        next.value.clear();
    }
    making_blocks.finish();
    put(next, blocks);
    runs_ = std::make_shared<const std::vector<Run>>(std::move(runs));
    time = in_runs(runs_, count, trace.time);
    value = in_runs(runs_, count, standard_mv);
}

std::size_t Shown::row_of(std::size_t i) const {
    const auto run = std::ranges::upper_bound(*runs_, i, {}, &Run::first) - 1;
    return run->row + (i - run->first);
}

Column<double> Shown::by_row(const Column<double>& values) const {
    if (!runs_) return std::vector<double>(rows_, missing_value);
    return {rows_, [runs = runs_, values](std::size_t first, std::span<double> out) {
                std::ranges::fill(out, missing_value);
                const std::size_t end = first + out.size();
                auto run = std::ranges::upper_bound(*runs, first, {}, &Run::row);
                if (run != runs->begin()) --run;
                for (; run != runs->end() && run->row < end; ++run) {
                    const std::size_t from = std::max(first, run->row);
                    const std::size_t to = std::min(end, run->row + run->count);
                    if (from < to)
                        values.read(run->first + (from - run->row),
                                    out.subspan(from - first, to - from));
                }
            }};
}

Column<std::size_t> counted(std::size_t size, std::vector<std::size_t> places) {
    return {size, [places = std::move(places)](std::size_t first, std::span<std::size_t> out) {
                auto next = std::ranges::upper_bound(places, first);
                for (std::size_t i = 0; i < out.size(); ++i) {
                    while (next != places.end() && *next <= first + i)
                        ++next;
                    out[i] = static_cast<std::size_t>(next - places.begin());
                }
            }};
}

std::size_t first_from(const Column<Instant>& time, Instant instant) {
    std::size_t first = 0, count = time.size();
    while (count > 0) {
        const std::size_t half = count / 2;
        if (time[first + half] < instant) {
            first += half + 1;
            count -= half + 1;
        } else {
            count = half;
        }
    }
    return first;
}

} // namespace quaycell

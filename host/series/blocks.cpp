#include "series/blocks.h"

#include "series/robust.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

constexpr Milliseconds usual_block = 20s;
/// With more of them blocks grow: the search takes half a second for so many.
constexpr std::size_t most_blocks = 600'000;

constexpr Milliseconds slope_reach = 45min;
/// A slope counts from so many of its standard errors on.
constexpr double slope_sure = 3;

} // namespace

bool silent_before(std::span<const Instant> time, std::size_t i, Milliseconds interval) {
    return 2 * (time[i] - time[i - 1]) > 5 * interval;
}

std::vector<Block> blocks_of(std::span<const Instant> time, std::span<const double> value,
                             Milliseconds interval) {
    const std::size_t by_time =
        interval.count() > 0 ? static_cast<std::size_t>(usual_block / interval) : 1;
    const std::size_t length =
        std::max({std::size_t{1}, by_time | 1, (value.size() / most_blocks) | 1});
    std::vector<Block> blocks;
    for (std::size_t first = 0; first < value.size();) {
        std::size_t end = first + 1;
        while (end < value.size() && end - first < length && !silent_before(time, end, interval))
            ++end;
        blocks.push_back({first, end,
                          median_of({value.begin() + static_cast<std::ptrdiff_t>(first),
                                     value.begin() + static_cast<std::ptrdiff_t>(end)})});
        first = end;
    }
    return blocks;
}

double slope_per_minute(std::span<const Block> blocks, std::span<const Instant> time,
                        Milliseconds interval, std::span<const std::size_t> begins,
                        std::size_t at) {
    const Instant here = time[blocks[at].first];
    const auto reached = [&](std::size_t i) {
        return std::chrono::abs(time[blocks[i].first] - here) > slope_reach;
    };
    std::size_t first = at, end = at;
    while (first > 0 && !silent_before(time, blocks[first].first, interval) && !reached(first - 1))
        --first;
    while (end < blocks.size() && !reached(end) &&
           (end == at || !silent_before(time, blocks[end].first, interval)))
        ++end;
    // Each level takes its own mean off; what is left of all of them makes the slope.
    double products = 0, squares = 0, spread = 0, values = 0;
    auto level_end = std::ranges::upper_bound(begins, first);
    for (std::size_t from = first; from < end; ++level_end) {
        const std::size_t to = std::min(end, level_end == begins.end() ? end : *level_end);
        const auto count = static_cast<double>(to - from);
        double mean_minute = 0, mean = 0;
        const auto minute = [&](std::size_t i) {
            return seconds_between(here, time[blocks[i].first]) / 60;
        };
        for (std::size_t i = from; i < to; ++i) {
            mean_minute += minute(i) / count;
            mean += blocks[i].median / count;
        }
        for (std::size_t i = from; i < to; ++i) {
            const double off_minute = minute(i) - mean_minute, off = blocks[i].median - mean;
            products += off_minute * off;
            squares += off_minute * off_minute;
            spread += off * off;
        }
        values += count - 1;
        from = to;
    }
    if (values < 4 || !(squares > 0)) return 0;
    const double slope = products / squares;
    const double left = std::max(0.0, spread - slope * products) / (values - 1);
    return std::abs(slope) > slope_sure * std::sqrt(left / squares) ? slope : 0;
}

} // namespace quaycell

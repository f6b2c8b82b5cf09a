#include "series/blocks.h"

#include "series/robust.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

constexpr Milliseconds usual_block = 20s;
/// With more of them blocks grow: the search takes a third of a second for so many.
constexpr std::size_t most_blocks = 400'000;
constexpr std::size_t enough_for_noise = std::size_t{1} << 21U;

constexpr Milliseconds slope_reach = 45min;
/// A slope counts from so many of its standard errors on.
constexpr double slope_sure = 3;

} // namespace

BlockMaker::BlockMaker(std::size_t values, Milliseconds interval) : interval_(interval) {
    const std::size_t by_time =
        interval.count() > 0 ? static_cast<std::size_t>(usual_block / interval) : 1;
    length_ = std::max({std::size_t{1}, by_time | 1, (values / most_blocks) | 1});
    noise_every_ = values / enough_for_noise + 1;
    held_.reserve(length_);
    blocks_.reserve(values / length_ + 1);
}

void BlockMaker::close() {
    blocks_.push_back({static_cast<std::uint32_t>(count_ - held_.size()),
                       static_cast<std::uint32_t>(count_), median_in_place(held_), begin_,
                       static_cast<std::uint32_t>((last_ - begin_).count()), after_silence_});
    held_.clear();
}

Blocks BlockMaker::blocks() && {
    if (!held_.empty()) close();
    return {std::move(blocks_), noise_.noise()};
}

Blocks blocks_of(const Column<Instant>& time, const Column<double>& value, Milliseconds interval) {
    BlockMaker maker(value.size(), interval);
    for (std::size_t i = 0; i < value.size(); ++i)
        maker.add(time[i], value[i]);
    return std::move(maker).blocks();
}

double slope_per_minute(std::span<const Block> blocks, std::span<const std::size_t> begins,
                        std::size_t at) {
    const Instant here = blocks[at].at;
    const auto reached = [&](std::size_t i) {
        return std::chrono::abs(blocks[i].at - here) > slope_reach;
    };
    std::size_t first = at, end = at;
    while (first > 0 && !blocks[first].after_silence && !reached(first - 1))
        --first;
    while (end < blocks.size() && !reached(end) && (end == at || !blocks[end].after_silence))
        ++end;
    // Each level takes its own mean off; what is left of all of them makes the slope.
    double products = 0, squares = 0, spread = 0, values = 0;
    auto level_end = std::ranges::upper_bound(begins, first);
    for (std::size_t from = first; from < end; ++level_end) {
        const std::size_t to = std::min(end, level_end == begins.end() ? end : *level_end);
        const auto count = static_cast<double>(to - from);
        double mean_minute = 0, mean = 0;
        const auto minute = [&](std::size_t i) { return seconds_between(here, blocks[i].at) / 60; };
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

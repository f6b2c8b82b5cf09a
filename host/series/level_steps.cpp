#include "series/level_steps.h"

#include "series/change_points.h"
#include "series/robust.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <queue>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

constexpr Milliseconds usual_block = 20s;
/// With more of them blocks grow: the search takes half a second for so many.
constexpr std::size_t most_blocks = 600'000;
/// Levels beside a step are read from so many blocks, but from no longer a time.
constexpr std::size_t level_blocks = 8;
constexpr Milliseconds level_time = 8min;
/// Of a median to a mean of as many values, of a normal distribution.
constexpr double median_to_mean = 1.2533;
/// A difference of levels is told from noise at so many of its standard deviations.
constexpr double sure = 5;
/// Below this share of the least step noise does not matter, and a signal that is rounded or calm
/// has hardly any.
constexpr double least_noise_share = 0.02;

struct Block {
    std::size_t first;
    std::size_t end;
    double median;
};

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

/// The boundaries between levels, as a list from which the weakest are taken one by one.
class Boundaries {
  public:
    Boundaries(std::span<const Instant> time, std::span<const double> value, Milliseconds interval,
               const StepLimits& limits)
        : time_(time), value_(value), interval_(interval), limits_(limits),
          blocks_(blocks_of(time, value, interval)) {
        std::vector<double> medians;
        for (const Block& block : blocks_)
            medians.push_back(block.median);
        const double floor = least_noise_share * limits.least;
        noise_ = std::max(noise_of(value), floor);
        block_noise_ = std::max(noise_of(medians), floor);
        for (double& median : medians)
            median /= block_noise_;
        const double penalty = 2 * std::log(static_cast<double>(medians.size()));
        begins_.push_back(0);
        for (const std::size_t at : change_points(medians, penalty))
            begins_.push_back(at);
        begins_.push_back(blocks_.size());
    }

    std::vector<LevelStep> steps() {
        drop_slips();
        drop_weak();
        drop_slips(); // what a neighbour had kept apart
        drop_weak();
        std::vector<LevelStep> steps;
        for (std::size_t i = 1; i + 1 < begins_.size(); ++i) {
            const LevelStep step = placed(i);
            // Two that fall on one reading, or change places, are one.
            if (!steps.empty() && step.at <= steps.back().at)
                steps.back().height += step.height;
            else
                steps.push_back(step);
        }
        return steps;
    }

  private:
    struct Levels {
        double before;
        double after;
        double deviation; ///< of their difference, by noise
        double minutes;   ///< between their middles
    };

    Levels levels(std::size_t left, std::size_t at, std::size_t right) const {
        const Level before = level(left, at, true);
        const Level after = level(at, right, false);
        const double minutes = seconds_between(before.middle, after.middle) / 60;
        return {before.value, after.value,
                median_to_mean * block_noise_ * std::sqrt(1 / before.blocks + 1 / after.blocks),
                minutes};
    }

    struct Level {
        double value;
        double blocks;
        Instant middle;
    };
    /// Of the blocks of [first, end) that are nearest to its end or to its beginning.
    Level level(std::size_t first, std::size_t end, bool nearest_end) const {
        std::vector<double> medians;
        const std::size_t count = std::min(end - first, level_blocks);
        const std::size_t start = nearest_end ? end - 1 : first;
        const Instant from = time_[blocks_[start].first];
        std::size_t last = start;
        for (std::size_t k = 0; k < count; ++k) {
            const std::size_t i = nearest_end ? start - k : start + k;
            const Milliseconds away = std::chrono::abs(time_[blocks_[i].first] - from);
            if (k >= 2 && away > level_time) break;
            medians.push_back(blocks_[i].median);
            last = i;
        }
        const Instant middle = from + (time_[blocks_[last].first] - from) / 2;
        const auto blocks = static_cast<double>(medians.size());
        return {median_of(std::move(medians)), blocks, middle};
    }

    /// How strongly the levels differ: below 1 it is no step.
    double strength(std::size_t left, std::size_t at, std::size_t right) const {
        const Levels found = levels(left, at, right);
        const double least =
            std::max({limits_.least, limits_.noises * noise_, sure * found.deviation}) +
            limits_.slow_per_minute * found.minutes;
        return std::abs(found.after - found.before) / least;
    }

    std::size_t values_in(std::size_t level) const {
        return blocks_[begins_[level + 1] - 1].end - blocks_[begins_[level]].first;
    }

    /// A level of a single value: the way from one level to another, or an outlier.
    void drop_slips() {
        for (std::size_t i = 1; i + 2 < begins_.size();) {
            if (values_in(i) > 1) {
                ++i;
                continue;
            }
            const double before = level(begins_[i - 1], begins_[i], true).value;
            const double here = blocks_[begins_[i]].median;
            const double after = level(begins_[i + 1], begins_[i + 2], false).value;
            const bool on_the_way = (here - before) * (after - here) > 0;
            // On the way it belongs to the nearer of both; as an outlier to neither.
            const bool to_the_left =
                !on_the_way || std::abs(here - before) < std::abs(after - here);
            begins_.erase(begins_.begin() + static_cast<std::ptrdiff_t>(to_the_left ? i : i + 1));
        }
    }

    void drop_weak() {
        // Neighbours of each boundary, as a linked list; a change outdates what waits in the queue.
        const std::size_t count = begins_.size();
        std::vector<std::size_t> previous(count), next(count), version(count, 0);
        for (std::size_t i = 0; i < count; ++i) {
            previous[i] = i == 0 ? 0 : i - 1;
            next[i] = i + 1;
        }
        struct Weak {
            double strength;
            std::size_t boundary;
            std::size_t version;
            bool operator<(const Weak& other) const { return strength > other.strength; }
        };
        std::priority_queue<Weak> weakest;
        const auto queue = [&](std::size_t i) {
            if (i == 0 || i + 1 == count) return;
            weakest.push(
                {strength(begins_[previous[i]], begins_[i], begins_[next[i]]), i, ++version[i]});
        };
        for (std::size_t i = 1; i + 1 < count; ++i)
            queue(i);
        std::vector<bool> gone(count, false);
        while (!weakest.empty() && weakest.top().strength < 1) {
            const Weak top = weakest.top();
            weakest.pop();
            if (gone[top.boundary] || top.version != version[top.boundary]) continue;
            gone[top.boundary] = true;
            const std::size_t left = previous[top.boundary], right = next[top.boundary];
            next[left] = right;
            previous[right] = left;
            queue(left);
            queue(right);
        }
        std::vector<std::size_t> kept;
        for (std::size_t i = 0; i < count; ++i)
            if (!gone[i]) kept.push_back(begins_[i]);
        begins_ = std::move(kept);
    }

    LevelStep placed(std::size_t i) const {
        const std::size_t left = begins_[i - 1], at = begins_[i], right = begins_[i + 1];
        const Levels found = levels(left, at, right);
        const std::size_t from = blocks_[std::max(left, at < 2 ? 0 : at - 2)].first;
        const std::size_t to = blocks_[std::min(right, at + 2) - 1].end;
        // The place at which the values part best between both levels.
        double cost = 0, least = 0;
        std::size_t best = from;
        for (std::size_t k = from; k < to; ++k) {
            const double off_before = value_[k] - found.before, off_after = value_[k] - found.after;
            cost += off_before * off_before - off_after * off_after;
            if (cost < least) {
                least = cost;
                best = k + 1;
            }
        }
        if (best == 0 || best >= value_.size()) best = blocks_[at].first;
        return {best, found.after - found.before, silent_before(time_, best, interval_)};
    }

    std::span<const Instant> time_;
    std::span<const double> value_;
    Milliseconds interval_;
    StepLimits limits_;
    std::vector<Block> blocks_;
    std::vector<std::size_t> begins_; ///< of levels, in blocks; the last one is the end
    double noise_ = 0;
    double block_noise_ = 0;
};

} // namespace

std::vector<LevelStep> level_steps(std::span<const Instant> time, std::span<const double> value,
                                   Milliseconds interval, const StepLimits& limits) {
    if (value.size() < 4) return {};
    return Boundaries(time, value, interval, limits).steps();
}

} // namespace quaycell

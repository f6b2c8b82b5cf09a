#include "series/level_steps.h"

#include "series/blocks.h"
#include "series/change_points.h"
#include "series/level_noise.h"
#include "series/robust.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <queue>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

/// Levels beside a step are read from so many blocks, but from no longer a time.
constexpr std::size_t level_blocks = 8;
constexpr Milliseconds level_time = 8min;
/// Of a median to a mean of as many values, of a normal distribution.
constexpr double median_to_mean = 1.2533;
/// A difference of levels is told from noise at so many of its standard deviations.
constexpr double sure = 6;
/// A level of so few values has to stand out by so much more, and by as much again as the noise's
/// extremes do.
constexpr std::size_t few_values = 3;
constexpr double few_noises = 1.5;
/// Below this share of the least step noise does not matter, and a signal that is rounded or calm
/// has hardly any.
constexpr double least_noise_share = 0.02;

/// The boundaries between levels, as a list from which the weakest are taken one by one.
class Boundaries {
  public:
    Boundaries(const Blocks& blocks, const Column<Instant>& time, const Column<double>& value,
               Milliseconds interval, const StepLimits& limits)
        : time_(time), value_(value), interval_(interval), limits_(limits), blocks_(blocks.blocks) {
        std::vector<double> medians;
        for (const Block& block : blocks_)
            medians.push_back(block.median);
        const double floor = least_noise_share * limits.least;
        noise_ = std::max(blocks.noise, floor);
        const double block_noise = std::max(noise_of(medians), floor);
        if (blocks_.front().end <= few_values) few_noises_ = few_noises * tail_of(value.whole());
        level_noise_.emplace(medians, median_to_mean * block_noise);
        for (double& median : medians)
            median /= block_noise;
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
        while (drop_ramps())
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

    double slope_at(std::size_t i) const { return slope_per_minute(blocks_, begins_, begins_[i]); }

    Levels levels(std::size_t left, std::size_t at, std::size_t right) const {
        const Level before = level(left, at, true);
        const Level after = level(at, right, false);
        const double minutes = seconds_between(before.middle, after.middle) / 60;
        return {before.value, after.value, level_noise_->of_difference(before.blocks, after.blocks),
                minutes};
    }

    /// Beside a boundary, with what the signal does besides its steps taken up to it.
    Levels levels_at(std::size_t i) const {
        Levels found = levels(begins_[i - 1], begins_[i], begins_[i + 1]);
        const double half = slope_at(i) * found.minutes / 2;
        found.before += half;
        found.after -= half;
        return found;
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
        const Instant from = blocks_[start].at;
        std::size_t last = start;
        for (std::size_t k = 0; k < count; ++k) {
            const std::size_t i = nearest_end ? start - k : start + k;
            const Milliseconds away = std::chrono::abs(blocks_[i].at - from);
            if (k >= 2 && away > level_time) break;
            medians.push_back(blocks_[i].median);
            last = i;
        }
        const Instant middle = from + (blocks_[last].at - from) / 2;
        const auto blocks = static_cast<double>(medians.size());
        return {median_of(std::move(medians)), blocks, middle};
    }

    /// What the levels have to differ by, slow change aside. A few values that are off by chance
    /// look like a level easily.
    double least_height(std::size_t left, std::size_t at, std::size_t right,
                        const Levels& found) const {
        const std::size_t values = std::min(blocks_[at - 1].end - blocks_[left].first,
                                            blocks_[right - 1].end - blocks_[at].first);
        const double noises = values <= few_values ? few_noises_ * limits_.noises : limits_.noises;
        return std::max({limits_.least, noises * noise_, sure * found.deviation});
    }

    /// How strongly the levels differ beside a slope: below 1 it is no step.
    double strength(std::size_t left, std::size_t at, std::size_t right, double slope) const {
        const Levels found = levels(left, at, right);
        return std::abs(found.after - found.before - slope * found.minutes) /
               (least_height(left, at, right, found) + limits_.slow_per_minute * found.minutes);
    }

    /// Steps that are none once the slope round them is known; of neighbours the weaker first.
    bool drop_ramps() {
        std::vector<double> strengths(begins_.size(), 1);
        for (std::size_t i = 1; i + 1 < begins_.size(); ++i) {
            const Levels found = levels_at(i);
            strengths[i] = std::abs(found.after - found.before) /
                           least_height(begins_[i - 1], begins_[i], begins_[i + 1], found);
        }
        std::vector<std::size_t> kept;
        for (std::size_t i = 0; i < begins_.size(); ++i) {
            const bool weakest = i > 0 && i + 1 < begins_.size() && strengths[i] < 1 &&
                                 strengths[i] <= strengths[i - 1] &&
                                 strengths[i] < strengths[i + 1];
            if (!weakest) kept.push_back(begins_[i]);
        }
        const bool dropped = kept.size() < begins_.size();
        begins_ = std::move(kept);
        return dropped;
    }

    std::size_t values_in(std::size_t level) const {
        return blocks_[begins_[level + 1] - 1].end - blocks_[begins_[level]].first;
    }

    /// A level of too few values, the way from one level to another or an outlier, goes to the
    /// nearer of both.
    void drop_slips() {
        for (std::size_t i = 1; i + 2 < begins_.size();) {
            if (values_in(i) >= limits_.fewest_values) {
                ++i;
                continue;
            }
            const double before = level(begins_[i - 1], begins_[i], true).value;
            const double here = blocks_[begins_[i]].median;
            const double after = level(begins_[i + 1], begins_[i + 2], false).value;
            const bool to_the_left = std::abs(here - before) < std::abs(after - here);
            begins_.erase(begins_.begin() + static_cast<std::ptrdiff_t>(to_the_left ? i : i + 1));
        }
    }

    void drop_weak() {
        // Neighbours of each boundary, as a linked list; a change outdates what waits in the queue.
        const std::size_t count = begins_.size();
        std::vector<std::size_t> previous(count), next(count), version(count, 0);
        std::vector<double> slope(count, 0);
        for (std::size_t i = 0; i < count; ++i) {
            previous[i] = i == 0 ? 0 : i - 1;
            next[i] = i + 1;
            if (i != 0 && next[i] != count) slope[i] = slope_at(i);
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
            weakest.push({strength(begins_[previous[i]], begins_[i], begins_[next[i]], slope[i]), i,
                          ++version[i]});
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
        const Levels found = levels_at(i);
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
        return {best, found.after - found.before,
                is_silent(time_[best - 1], time_[best], interval_)};
    }

    Column<Instant> time_;
    Column<double> value_;
    Milliseconds interval_;
    StepLimits limits_;
    std::span<const Block> blocks_;
    std::vector<std::size_t> begins_; ///< of levels, in blocks; the last one is the end
    double noise_ = 0;
    double few_noises_ = few_noises; ///< more where noise has extremes
    std::optional<LevelNoise> level_noise_;
};

} // namespace

std::vector<LevelStep> level_steps(const Blocks& blocks, const Column<Instant>& time,
                                   const Column<double>& value, Milliseconds interval,
                                   const StepLimits& limits) {
    if (value.size() < 4) return {};
    return Boundaries(blocks, time, value, interval, limits).steps();
}

std::vector<LevelStep> level_steps(const Column<Instant>& time, const Column<double>& value,
                                   Milliseconds interval, const StepLimits& limits) {
    if (value.size() < 4) return {};
    return level_steps(blocks_of(time, value, interval), time, value, interval, limits);
}

} // namespace quaycell

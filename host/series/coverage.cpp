#include "series/coverage.h"

#include <algorithm>
#include <array>
#include <map>

namespace quaycell {

namespace {

/// No reading stands for longer: who reads once a day may be late by half a day, but what was a
/// week ago says nothing of today (our judgement).
constexpr Milliseconds longest_interval = std::chrono::hours{36};
constexpr std::size_t beside = 15; ///< spacings on either side that tell the interval of a place

Milliseconds lower_middle(std::span<Milliseconds> spacings) {
    const auto middle = spacings.begin() + static_cast<std::ptrdiff_t>((spacings.size() - 1) / 2);
    std::nth_element(spacings.begin(), middle, spacings.end());
    return *middle;
}

bool much_longer(Milliseconds one, Milliseconds other) {
    return 2 * one > 5 * other;
}

/// The lower middle one of any number of spacings that may be intervals, short ones counted and
/// long ones kept.
class UsualSpacing {
  public:
    void add(Milliseconds spacing, std::size_t times) {
        if (spacing > longest_interval) return;
        const auto ms = static_cast<std::size_t>(spacing.count());
        if (ms < counts_.size())
            counts_[ms] += times;
        else
            long_.insert(long_.end(), times, spacing);
        count_ += times;
    }

    /// 0 where there is none.
    Milliseconds middle() {
        if (count_ == 0) return Milliseconds{0};
        std::size_t below = 0;
        for (std::size_t ms = 0; ms < counts_.size(); ++ms)
            if (below += counts_[ms]; below > (count_ - 1) / 2)
                return Milliseconds{static_cast<std::int64_t>(ms)};
        const auto place = long_.begin() + static_cast<std::ptrdiff_t>((count_ - 1) / 2 - below);
        std::nth_element(long_.begin(), place, long_.end());
        return *place;
    }

  private:
    std::vector<std::size_t> counts_ = std::vector<std::size_t>(120'000, 0);
    std::vector<Milliseconds> long_;
    std::size_t count_ = 0;
};

/// The usual spacing of the whole record and of each place in it.
class Spacings {
  public:
    explicit Spacings(const Column<Instant>& time) : time_(time) {
        UsualSpacing all;
        Milliseconds alike{0};
        std::size_t times = 0;
        Instant last = time.front();
        for (std::size_t row = 1; row < time.size();) {
            for (const Instant now : time.from(row)) {
                if (now - last != alike) {
                    all.add(alike, times);
                    alike = now - last;
                    times = 0;
                }
                ++times;
                last = now;
                ++row;
            }
        }
        all.add(alike, times);
        usual_ = all.middle();
    }

    Milliseconds usual() const { return usual_; }

    /// Where a spacing is about the usual one, it is that: only the others need a look round.
    Milliseconds interval(std::size_t i, Milliseconds here) const {
        if (!much_longer(here, usual_) && !much_longer(usual_, here)) return usual_;
        const std::size_t first = i < beside ? 0 : i - beside;
        const std::size_t end = std::min(i + beside + 1, time_.size() - 1);
        std::array<Milliseconds, 2 * beside + 1> near;
        std::size_t count = 0;
        Instant last = time_[first];
        for (std::size_t k = first; k < end; ++k) {
            if (time_[k + 1] - last <= longest_interval) near.at(count++) = time_[k + 1] - last;
            last = time_[k + 1];
        }
        return count == 0 ? usual_ : lower_middle(std::span(near).first(count));
    }

  private:
    Column<Instant> time_;
    Milliseconds usual_{0};
};

/// What a reading stands for that does not stand until the next one.
struct Exception {
    std::size_t row;
    Milliseconds stands_for;
};

Column<Milliseconds> until_next(const Column<Instant>& time, std::vector<Exception> exceptions) {
    return {time.size(), [time, exceptions = std::move(exceptions)](std::size_t first,
                                                                    std::span<Milliseconds> out) {
                Instant from = time[first];
                for (std::size_t i = 0; i < out.size() && first + i + 1 < time.size(); ++i) {
                    const Instant to = time[first + i + 1];
                    out[i] = to - from;
                    from = to;
                }
                for (auto each = std::ranges::lower_bound(exceptions, first, {}, &Exception::row);
                     each != exceptions.end() && each->row < first + out.size(); ++each)
                    out[each->row - first] = each->stands_for;
            }};
}

/// The longest interval that, with those above it, a twentieth of the time is kept to.
Milliseconds nominal(const std::map<Milliseconds, Milliseconds>& time_kept_to) {
    Milliseconds whole{0}, so_far{0};
    for (const auto& [interval, kept] : time_kept_to)
        whole += kept;
    for (auto each = time_kept_to.rbegin(); each != time_kept_to.rend(); ++each)
        if (so_far += each->second; 20 * so_far >= whole) return each->first;
    return Milliseconds{0};
}

} // namespace

Coverage coverage_of(const Column<Instant>& time) {
    Coverage coverage;
    if (time.size() < 3) {
        coverage.stands_for = std::vector<Milliseconds>(time.size(), Milliseconds{0});
        if (time.size() == 2 && time[1] - time[0] > longest_interval)
            coverage.gaps.push_back({time[0], time[1]});
        return coverage;
    }
    const Spacings spacings(time);
    std::map<Milliseconds, Milliseconds> time_kept_to;
    std::vector<Exception> exceptions;
    Milliseconds interval{0}, kept{0};
    const auto add = [&](std::size_t i, Instant from, Instant to) {
        const Milliseconds spacing = to - from;
        if (spacing == interval && spacing == spacings.usual()) { // as nearly always
            kept += spacing;
            return;
        }
        const Milliseconds here = spacings.interval(i, spacing);
        if (here != interval) {
            time_kept_to[interval] += kept;
            interval = here;
            kept = Milliseconds{0};
        }
        if (much_longer(spacing, here)) {
            kept += here;
            exceptions.push_back({i, here});
            coverage.gaps.push_back({from + here, to});
        } else {
            kept += spacing;
        }
    };
    Instant from = time.front();
    for (std::size_t row = 1; row < time.size();) {
        for (const Instant to : time.from(row)) {
            add(row - 1, from, to);
            from = to;
            ++row;
        }
    }
    exceptions.push_back({time.size() - 1, interval});
    time_kept_to[interval] += kept + interval;
    coverage.interval = nominal(time_kept_to);
    coverage.stands_for = until_next(time, std::move(exceptions));
    return coverage;
}

} // namespace quaycell

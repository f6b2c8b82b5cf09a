#include "series/coverage.h"

#include <algorithm>
#include <array>
#include <map>

namespace quaycell {

namespace {

constexpr std::size_t beside = 15; ///< spacings on either side that tell the interval of a place

Milliseconds lower_middle(std::span<Milliseconds> spacings) {
    const auto middle = spacings.begin() + static_cast<std::ptrdiff_t>((spacings.size() - 1) / 2);
    std::nth_element(spacings.begin(), middle, spacings.end());
    return *middle;
}

bool much_longer(Milliseconds one, Milliseconds other) {
    return 2 * one > 5 * other;
}

/// The usual spacing of the whole record and of each place in it.
class Spacings {
  public:
    explicit Spacings(std::span<const Instant> time) : time_(time) {
        std::vector<Milliseconds> all;
        all.reserve(time.size() - 1);
        for (std::size_t i = 0; i + 1 < time.size(); ++i)
            all.push_back(at(i));
        usual_ = lower_middle(all);
    }

    Milliseconds at(std::size_t i) const { return time_[i + 1] - time_[i]; }

    /// Where a spacing is about the usual one, it is that: only the others need a look round.
    Milliseconds interval(std::size_t i) const {
        const Milliseconds here = at(i);
        if (!much_longer(here, usual_) && !much_longer(usual_, here)) return usual_;
        const std::size_t first = i < beside ? 0 : i - beside;
        const std::size_t end = std::min(i + beside + 1, time_.size() - 1);
        std::array<Milliseconds, 2 * beside + 1> near;
        for (std::size_t k = first; k < end; ++k)
            near.at(k - first) = at(k);
        return lower_middle(std::span(near).first(end - first));
    }

  private:
    std::span<const Instant> time_;
    Milliseconds usual_{0};
};

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

Coverage coverage_of(std::span<const Instant> time) {
    Coverage coverage;
    coverage.stands_for.assign(time.size(), Milliseconds{0});
    if (time.size() < 3) return coverage;
    const Spacings spacings(time);
    std::map<Milliseconds, Milliseconds> time_kept_to;
    Milliseconds interval{0}, kept{0};
    for (std::size_t i = 0; i + 1 < time.size(); ++i) {
        const Milliseconds here = spacings.interval(i);
        if (here != interval) {
            time_kept_to[interval] += kept;
            interval = here;
            kept = Milliseconds{0};
        }
        const Milliseconds spacing = spacings.at(i);
        coverage.stands_for[i] = much_longer(spacing, here) ? here : spacing;
        kept += coverage.stands_for[i];
        if (much_longer(spacing, here)) coverage.gaps.push_back({time[i] + here, time[i + 1]});
    }
    coverage.stands_for.back() = interval;
    time_kept_to[interval] += kept + interval;
    coverage.interval = nominal(time_kept_to);
    return coverage;
}

} // namespace quaycell

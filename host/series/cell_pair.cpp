#include "series/cell_pair.h"

#include "series/robust.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

constexpr Milliseconds beginning = 2h;
constexpr Milliseconds stays_away = 1h;
constexpr std::size_t window = 9; // readings; a median of them is steady to a third of their noise

/// The last readings of both cells, and whether they have parted.
class Window {
  public:
    Window(double usual_mv, std::vector<Event>& events) : usual_mv_(usual_mv), events_(events) {}

    void add(Instant time, double apart_mv) {
        if (count_ == window) {
            look(false);
            std::rotate(readings_.begin(), readings_.begin() + 1, readings_.end());
            --count_;
        }
        readings_[count_++] = {time, apart_mv};
    }
    void end() {
        if (count_ == window) look(true);
    }

  private:
    struct Reading {
        Instant time;
        double apart_mv;
    };

    bool is_away(double each_mv) const { return std::abs(each_mv - usual_mv_) > cells_apart_mv; }

    void look(bool last) {
        const auto away = std::ranges::count_if(
            readings_, [this](const Reading& each) { return is_away(each.apart_mv); });
        // The median lies with the usual values where most of them do.
        const double median_mv = 2 * away > std::ssize(readings_) ? median() : usual_mv_;
        if (!is_away(median_mv)) {
            apart_since_.reset();
            told_ = false;
            return;
        }
        if (!apart_since_) {
            // The median turns when most of the window has: to the reading from where on it has.
            std::size_t turned = window - 1;
            while (turned > 0 && is_away(readings_[turned - 1].apart_mv))
                --turned;
            apart_since_ = readings_[turned].time;
        }
        if (told_ || (readings_[0].time - *apart_since_ < stays_away && !last)) return;
        told_ = true;
        events_.push_back({*apart_since_, EventKind::cells_disagree, missing_value,
                           fmt::format("cells A and B have parted by {:.1f} mV since the "
                                       "beginning: one of them is no longer right",
                                       std::abs(median_mv - usual_mv_))});
    }

    double median() const {
        std::array<double, window> values{};
        std::ranges::transform(readings_, values.begin(), &Reading::apart_mv);
        return median_in_place(values);
    }

    double usual_mv_;
    std::vector<Event>& events_;
    std::array<Reading, window> readings_{};
    std::size_t count_ = 0;
    std::optional<Instant> apart_since_;
    bool told_ = false;
};

/// Calls `take` with the time and the difference of each reading that shows both, until it says no.
template <typename Take>
void each_pair(const Readings& trace, const std::vector<bool>& shows_hull, std::size_t begin,
               std::size_t end, Take take) {
    for (std::size_t i = begin; i < end; ++i) {
        const double apart_mv = trace.cell_b_mv[i] - trace.potential_mv[i];
        if (!std::isnan(apart_mv) && shows_hull[i] && !take(trace.time[i], apart_mv)) return;
    }
}

/// Of the readings of one deployment: cells that hang anew begin anew.
void add_partings(const Readings& trace, const std::vector<bool>& shows_hull, std::size_t begin,
                  std::size_t end, std::vector<Event>& events) {
    std::vector<double> first;
    std::optional<Instant> start;
    each_pair(trace, shows_hull, begin, end, [&](Instant time, double apart_mv) {
        if (!start) start = time;
        if (time - *start >= beginning) return false;
        first.push_back(apart_mv);
        return true;
    });
    if (!start) return;
    Window last(median_in_place(first), events);
    each_pair(trace, shows_hull, begin, end, [&](Instant time, double apart_mv) {
        last.add(time, apart_mv);
        return true;
    });
    last.end();
}

} // namespace

std::vector<Event> cells_that_part(const Readings& trace, const std::vector<bool>& shows_hull) {
    std::vector<Event> events;
    std::size_t begin = 0;
    for (const Joint& joint : trace.joints) {
        add_partings(trace, shows_hull, begin, std::min(joint.first, trace.cell_b_mv.size()),
                     events);
        begin = joint.first;
    }
    add_partings(trace, shows_hull, begin, trace.cell_b_mv.size(), events);
    return events;
}

} // namespace quaycell

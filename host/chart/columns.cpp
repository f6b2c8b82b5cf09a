#include "chart/columns.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace quaycell {

double Plot::x_mm(Instant time) const {
    const double span_s = seconds_between(from, to);
    return place.left_mm +
           place.width_mm * (span_s > 0 ? seconds_between(from, time) / span_s : 0.5);
}

double Plot::y_mm(double value) const {
    return place.bottom_mm() - place.height_mm * (value - low) / (high - low);
}

namespace {

/// The readings of one column on one line.
class Column {
  public:
    void add(std::size_t reading, std::span<const double> values) {
        if (empty_) {
            kept_.fill(reading);
            empty_ = false;
        }
        if (values[reading] < values[kept_[lowest]]) kept_[lowest] = reading;
        if (values[reading] > values[kept_[highest]]) kept_[highest] = reading;
        kept_[last] = reading;
    }

    /// Appends the readings that count, in order of time, and becomes empty.
    template <typename Append>
    void flush(Append append) {
        if (empty_) return;
        std::sort(kept_.begin(), kept_.end());
        const auto end = std::unique(kept_.begin(), kept_.end());
        std::for_each(kept_.begin(), end, append);
        empty_ = true;
    }

  private:
    enum { first, lowest, highest, last };
    std::array<std::size_t, 4> kept_{};
    bool empty_ = true;
};

} // namespace

std::vector<std::vector<Point>> trace_lines(const Plot& plot, std::span<const Instant> time,
                                            std::span<const double> values,
                                            std::span<const Gap> gaps, double column_mm) {
    std::vector<std::vector<Point>> lines;
    Column column;
    double drawn = -1; // the column that is being filled
    bool broken = true;
    auto gap = gaps.begin();
    const auto flush = [&] {
        column.flush([&](std::size_t i) {
            lines.back().push_back({plot.x_mm(time[i]), plot.y_mm(values[i])});
        });
    };
    for (std::size_t i = 0; i < time.size(); ++i) {
        while (gap != gaps.end() && gap->to <= time[i]) {
            broken = true;
            ++gap;
        }
        if (std::isnan(values[i])) {
            broken = true;
            continue;
        }
        const double index = std::floor((plot.x_mm(time[i]) - plot.place.left_mm) / column_mm);
        // A break inside a column would be narrower than the pen, and there may be a million of
        // them.
        if (index != drawn) {
            flush();
            if (broken) lines.emplace_back();
            drawn = index;
        }
        broken = false;
        column.add(i, values);
    }
    flush();
    return lines;
}

} // namespace quaycell

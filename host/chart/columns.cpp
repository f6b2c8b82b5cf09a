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
    const double share = (value - low) / (high - low);
    return low_on_top ? place.top_mm + place.height_mm * share
                      : place.bottom_mm() - place.height_mm * share;
}

namespace {

/// The readings of one column on one line.
class Kept {
  public:
    void add(DrawnReading reading) {
        if (empty_) {
            kept_.fill(reading);
            empty_ = false;
        }
        if (reading.value < kept_[lowest].value) kept_[lowest] = reading;
        if (reading.value > kept_[highest].value) kept_[highest] = reading;
        kept_[last] = reading;
    }

    /// Appends the readings that count, in order of time, and becomes empty.
    template <typename Append>
    void flush(Append append) {
        if (empty_) return;
        std::ranges::sort(kept_, {}, &DrawnReading::time);
        const auto same = std::ranges::unique(kept_, {}, &DrawnReading::time);
        std::for_each(kept_.begin(), same.begin(), append);
        empty_ = true;
    }

  private:
    enum { first, lowest, highest, last };
    std::array<DrawnReading, 4> kept_{};
    bool empty_ = true;
};

} // namespace

DrawnLines drawn_lines(const Plot& plot, const Column<Instant>& time, const Column<double>& values,
                       std::span<const Gap> gaps, double column_mm) {
    DrawnLines lines;
    Kept column;
    double drawn = -1; // the column that is being filled
    bool broken = true;
    auto gap = gaps.begin();
    const auto column_of = [&](Instant at) {
        return std::floor((plot.x_mm(at) - plot.place.left_mm) / column_mm);
    };
    // Readings rise in time: up to here, nearly the end of a column, none needs to be placed.
    const auto still_in = [&](double index) {
        constexpr double certainly = 0.999;
        const double share = (index + certainly) * column_mm / plot.place.width_mm;
        const auto span_ms = static_cast<double>((plot.to - plot.from).count());
        return plot.from + Milliseconds{static_cast<std::int64_t>(span_ms * share)};
    };
    Instant surely_until = Instant::min();
    const auto flush = [&] {
        column.flush([&](const DrawnReading& kept) { lines.back().push_back(kept); });
    };
    const auto add = [&](DrawnReading reading) {
        while (gap != gaps.end() && gap->to <= reading.time) {
            broken = true;
            ++gap;
        }
        if (std::isnan(reading.value)) {
            broken = true;
            return;
        }
        // A break inside a column would be narrower than the pen, and there may be a million of
        // them.
        if (reading.time >= surely_until) {
            const double index = column_of(reading.time);
            if (index != drawn) {
                flush();
                if (broken) lines.emplace_back();
                drawn = index;
            }
            surely_until = still_in(index);
        }
        broken = false;
        column.add(reading);
    };
    for (std::size_t row = 0; row < time.size();) {
        const auto times = time.from(row);
        const auto some = values.from(row);
        const std::size_t count = std::min(times.size(), some.size());
        for (std::size_t i = 0; i < count; ++i)
            add({times[i], some[i]});
        row += count;
    }
    flush();
    return lines;
}

std::vector<std::vector<Point>> points_of(const Plot& plot, const DrawnLines& lines) {
    std::vector<std::vector<Point>> points(lines.size());
    for (std::size_t i = 0; i < lines.size(); ++i)
        for (const DrawnReading& reading : lines[i])
            points[i].push_back({plot.x_mm(reading.time), plot.y_mm(reading.value)});
    return points;
}

} // namespace quaycell

// Statistics of a potential over time.
#pragma once

#include "base/time.h"
#include "series/column.h"

#include <algorithm>
#include <cstdint>
#include <map>
#include <span>
#include <vector>

namespace quaycell {

/// All missing_value when there is no reading.
struct Statistics {
    double median_mv;
    double p5_mv;  ///< 5 % of the time more negative
    double p95_mv; ///< 5 % of the time more positive
    double min_mv;
    double max_mv;
};

/// Percentiles of any number of weighted values without keeping them: all are added twice. The
/// first time only counts how much lies in each of many narrow classes, the second time keeps the
/// values of those classes that a percentile falls into. Exact, therefore.
class Percentiles {
  public:
    /// What lies outside is counted with the ends: it may be, but the classes are narrow within.
    Percentiles(double low, double high, std::size_t classes);

    void add(double value, std::int64_t weight) {
        weights_[class_of(value)] += weight;
        total_ += weight;
        min_ = std::min(min_, value);
        max_ = std::max(max_, value);
    }

    /// Between the first time and the second.
    void look_for(std::span<const int> percents);
    void add_again(double value, std::int64_t weight) {
        const std::size_t place = class_of(value);
        if (wanted_[place]) kept_[place][value] += weight;
    }

    /// One that was looked for. One that falls exactly between two values is their middle;
    /// missing_value where there are none.
    double percentile(int percent) const;
    double min() const;
    double max() const;

  private:
    std::size_t class_of(double value) const {
        const double place = (value - low_) * per_unit_;
        return place > 0 ? static_cast<std::size_t>(std::min(place, last_class_)) : 0;
    }
    std::size_t class_at(int percent, std::int64_t& below) const;

    double low_;
    double per_unit_;
    double last_class_;
    std::vector<std::int64_t> weights_;
    std::vector<bool> wanted_;
    std::map<std::size_t, std::map<double, std::int64_t>> kept_; ///< weight by value, by class
    std::int64_t total_ = 0;
    double min_;
    double max_;
};

/// Weighted with the time that each value stands for, all alike where they stand for none, as one
/// or two do; missing values are left out.
Statistics statistics_of(const Column<double>& values_mv, const Column<Milliseconds>& stands_for);

} // namespace quaycell

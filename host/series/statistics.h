// Statistics of a potential over time.
#pragma once

#include "base/time.h"
#include "series/column.h"

#include <algorithm>
#include <cstdint>
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

/// Percentiles of any number of weighted values without keeping them: how much lies in each of many
/// narrow classes, each told by the first value in it. Off by the width of a class at most; exact
/// where the values in a class are all the same.
class Percentiles {
  public:
    /// What lies outside is counted with the ends: it may be, but the classes are narrow within.
    Percentiles(double low, double high, std::size_t classes);

    void add(double value, std::int64_t weight) {
        Class& in = classes_[class_of(value)];
        if (in.weight == 0) in.first = value;
        in.weight += weight;
        total_ += weight;
    }

    /// All that was added to the other, which is made alike.
    void add(const Percentiles& other);

    /// One that falls exactly between two values is their middle; missing_value where there are
    /// none.
    double percentile(int percent) const;

    double class_width() const { return 1 / per_unit_; }

  private:
    struct Class {
        std::int64_t weight = 0;
        double first = 0;
    };

    std::size_t class_of(double value) const {
        const double place = (value - low_) * per_unit_;
        return place > 0 ? static_cast<std::size_t>(std::min(place, last_class_)) : 0;
    }

    double low_;
    double per_unit_;
    double last_class_;
    std::vector<Class> classes_;
    std::int64_t total_ = 0;
};

/// Weighted with the time that each value stands for, all alike where they stand for none, as one
/// or two do; missing values are left out.
Statistics statistics_of(const Column<double>& values_mv, const Column<Milliseconds>& stands_for);

} // namespace quaycell

#include "series/statistics.h"

#include "series/trace.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

struct Weighted {
    double value;
    std::int64_t weight;
};

/// Of values in order. In whole numbers, so that "exactly between" is exact.
double percentile_of(const std::vector<Weighted>& in_order, std::int64_t total, int percent) {
    const std::int64_t wanted = percent * total;
    std::int64_t up_to = 0;
    for (auto each = in_order.begin(); each != in_order.end(); ++each) {
        up_to += each->weight;
        if (up_to * 100 > wanted || each + 1 == in_order.end()) return each->value;
        if (up_to * 100 == wanted) return (each->value + (each + 1)->value) / 2;
    }
    return missing_value;
}

} // namespace

Percentiles::Percentiles(double low, double high, std::size_t classes)
    : low_(low), per_unit_(static_cast<double>(classes) / (high - low)),
      last_class_(static_cast<double>(classes - 1)), classes_(classes) {}

void Percentiles::add(const Percentiles& other) {
    for (std::size_t place = 0; place < classes_.size(); ++place) {
        const Class& added = other.classes_[place];
        if (added.weight == 0) continue;
        Class& in = classes_[place];
        if (in.weight == 0) in.first = added.first;
        in.weight += added.weight;
    }
    total_ += other.total_;
}

double Percentiles::percentile(int percent) const {
    if (total_ == 0) return missing_value;
    // In whole numbers, so that "exactly between" is exact.
    const std::int64_t wanted = percent * total_;
    std::int64_t up_to = 0;
    double lower = missing_value;
    for (const Class& in : classes_) {
        if (in.weight == 0) continue;
        if (!std::isnan(lower)) return (lower + in.first) / 2;
        up_to += in.weight;
        if (up_to * 100 > wanted) return in.first;
        if (up_to * 100 == wanted) lower = in.first;
    }
    return lower;
}

Statistics statistics_of(const Column<double>& values_mv, const Column<Milliseconds>& stands_for) {
    std::vector<Weighted> values;
    std::int64_t total = 0;
    for (std::size_t i = 0; i < values_mv.size(); ++i) {
        if (std::isnan(values_mv[i])) continue;
        values.push_back({values_mv[i], stands_for[i].count()});
        total += values.back().weight;
    }
    if (values.empty())
        return {missing_value, missing_value, missing_value, missing_value, missing_value};
    if (total == 0) {
        for (Weighted& each : values)
            each.weight = 1;
        total = static_cast<std::int64_t>(values.size());
    }
    std::ranges::sort(values, {}, &Weighted::value);
    return {percentile_of(values, total, 50), percentile_of(values, total, 5),
            percentile_of(values, total, 95), values.front().value, values.back().value};
}

} // namespace quaycell

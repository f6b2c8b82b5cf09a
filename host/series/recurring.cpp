#include "series/recurring.h"

#include "series/statistics.h"
#include "series/trace.h"

#include <cmath>
#include <map>
#include <unordered_map>

namespace quaycell {

namespace {

constexpr std::size_t few = 65'536;

double median_of_many(const Column<double>& values) {
    const Column<Milliseconds> alike(values.size(), [](std::size_t, std::span<Milliseconds> out) {
        std::ranges::fill(out, Milliseconds{0});
    });
    return statistics_of(values, alike).median_mv;
}

} // namespace

double median_of_recurring(const Column<double>& values) {
    std::unordered_map<double, std::uint64_t> count_of;
    std::uint64_t total = 0, run = 0;
    double last = missing_value;
    const auto end_run = [&] {
        if (run != 0) count_of[last] += run;
        total += run;
        run = 0;
    };
    for (std::size_t first = 0; first < values.size();) {
        const std::span<const double> part = values.from(first);
        for (const double value : part) {
            if (value != last) { // a missing one always
                end_run();
                last = value;
            }
            run += !std::isnan(value);
        }
        first += part.size();
        if (count_of.size() > few) return median_of_many(values);
    }
    end_run();
    const std::map<double, std::uint64_t> in_order(count_of.begin(), count_of.end());
    std::uint64_t up_to = 0;
    for (auto each = in_order.begin(); each != in_order.end(); ++each) {
        up_to += each->second;
        if (2 * up_to == total) return (each->first + std::next(each)->first) / 2;
        if (2 * up_to > total) return each->first;
    }
    return missing_value;
}

} // namespace quaycell

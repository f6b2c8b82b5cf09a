#include "series/change_points.h"

#include "check_values.h"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <numeric>
#include <random>

using namespace quaycell;

namespace {

double cost_of(std::span<const double> values) {
    const double mean =
        std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
    double sum = 0;
    for (const double value : values)
        sum += (value - mean) * (value - mean);
    return sum;
}

double cost_of(std::span<const double> values, const std::vector<std::size_t>& changes,
               double penalty) {
    double sum = penalty * static_cast<double>(changes.size());
    std::size_t begin = 0;
    for (const std::size_t end : changes) {
        sum += cost_of(values.subspan(begin, end - begin));
        begin = end;
    }
    return sum + cost_of(values.subspan(begin));
}

/// Optimal partitioning without any pruning.
double least_cost(std::span<const double> values, double penalty) {
    std::vector<double> least(values.size() + 1, std::numeric_limits<double>::infinity());
    least[0] = -penalty;
    for (std::size_t end = 1; end <= values.size(); ++end)
        for (std::size_t begin = 0; begin < end; ++begin)
            least[end] = std::min(least[end], least[begin] + penalty +
                                                  cost_of(values.subspan(begin, end - begin)));
    return least.back();
}

} // namespace

TEST_CASE("the Nile's flow changes once, after 28 years") {
    // Annual flow at Aswan, 1871 to 1970 (Cobb 1978; data from memory). The answer stands for all
    // penalties from 2 to 6 ln n times the variance (recomputed independently).
    const std::vector<double> flow{
        1120, 1160, 963, 1210, 1160, 1160, 813,  1230, 1370, 1140, 995,  935,  1110, 994,  1020,
        960,  1180, 799, 958,  1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774,  840,
        874,  694,  940, 833,  701,  916,  692,  1020, 1050, 969,  831,  726,  456,  824,  702,
        1120, 1100, 832, 764,  821,  768,  845,  864,  862,  698,  845,  744,  796,  1040, 759,
        781,  865,  845, 944,  984,  897,  822,  1010, 771,  676,  649,  846,  812,  742,  801,
        1040, 860,  874, 848,  890,  744,  749,  838,  1050, 918,  986,  797,  923,  975,  815,
        1020, 906,  901, 1170, 912,  746,  919,  718,  714,  740};
    REQUIRE(flow.size() == 100);
    const double variance = 169.2275 * 169.2275;
    for (const double times : {2.0, 4.0, 6.0}) {
        const auto changes = change_points(flow, times * std::log(100.0) * variance);
        CHECK(changes == std::vector<std::size_t>{28});
    }
}

TEST_CASE("the cost is the least that there is, whatever the values") {
    std::mt19937 engine(11);
    std::normal_distribution<double> noise;
    for (int round = 0; round < 60; ++round) {
        std::vector<double> values;
        double level = 0;
        for (int i = 0; i < 120; ++i) {
            if (engine() % 17 == 0) level = 4 * noise(engine);
            values.push_back(level + noise(engine));
        }
        const double penalty = round % 3 == 0 ? 1 : 2 * std::log(120.0);
        const auto changes = change_points(values, penalty);
        CHECK(cost_of(values, changes, penalty) ==
              doctest::Approx(least_cost(values, penalty)).epsilon(1e-9));
    }
}

TEST_CASE("nothing, one value and equal values have no change") {
    CHECK(change_points({}, 10).empty());
    CHECK(change_points(std::vector<double>{-900}, 10).empty());
    CHECK(change_points(std::vector<double>(1000, -900), 10).empty());
}

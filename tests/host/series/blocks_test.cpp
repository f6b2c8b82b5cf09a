#include "series/blocks.h"

#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

namespace {

constexpr std::chrono::seconds interval{10};

struct Signal {
    std::vector<Instant> time;
    std::vector<double> value;

    /// So many readings that rise by so much a minute, with a little noise, from a level.
    void add(int count, double level, double per_minute) {
        static std::mt19937 engine(5);
        std::normal_distribution<double> noise(0, 0.3);
        for (int i = 0; i < count; ++i) {
            time.push_back(time.empty() ? Instant{} : time.back() + interval);
            value.push_back(level + per_minute * i / 6 + noise(engine));
        }
    }
};

} // namespace

TEST_CASE("blocks last 20 s, and a silence ends one") {
    Signal signal;
    signal.add(7, -900, 0);
    for (std::size_t i = 4; i < 7; ++i)
        signal.time[i] += std::chrono::minutes{5};
    const auto blocks = blocks_of(signal.time, signal.value, interval).blocks;
    REQUIRE(blocks.size() == 3);
    CHECK(blocks[0].end == 3);
    CHECK(blocks[1].end == 4);
    CHECK(blocks[2].end == 7);
    CHECK_FALSE(blocks[1].after_silence);
    CHECK(blocks[2].after_silence);
    CHECK(blocks[2].at == signal.time[4]);
}

TEST_CASE("a slope is told from the steps in it") {
    Signal signal;
    for (int pulse = 0; pulse < 10; ++pulse) {
        signal.add(60, -900 + pulse * 8, 0.4);
        signal.add(60, -880 + pulse * 8 + 4, 0.4);
    }
    const auto blocks = blocks_of(signal.time, signal.value, interval).blocks;
    std::vector<std::size_t> begins;
    for (std::size_t begin = 0; begin <= blocks.size(); begin += 20)
        begins.push_back(begin);
    REQUIRE(begins.back() == blocks.size());
    CHECK(slope_per_minute(blocks, begins, 200) == doctest::Approx(0.4).epsilon(0.05));
}

TEST_CASE("no slope is told from noise, from too few values and from what lies beyond a silence") {
    Signal signal;
    signal.add(300, -900, 0);
    signal.add(300, -900, 2);
    for (std::size_t i = 300; i < 600; ++i)
        signal.time[i] += std::chrono::minutes{30};
    const auto blocks = blocks_of(signal.time, signal.value, interval).blocks;
    const std::vector<std::size_t> whole{0, blocks.size()};
    CHECK(slope_per_minute(blocks, whole, 50) == 0);
    CHECK(slope_per_minute(blocks, whole, 150) == doctest::Approx(2).epsilon(0.05));
    const std::vector<std::size_t> parted{0, 1, 2, 3};
    CHECK(slope_per_minute(std::span(blocks).first(3), parted, 1) == 0);
}

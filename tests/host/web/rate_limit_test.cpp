#include "web/rate_limit.h"

#include <doctest/doctest.h>

using namespace quaycell::web;
using namespace std::chrono_literals;

TEST_CASE("an address may ask so often at once, and again with time") {
    RateLimit limit;
    const RateLimit::Clock::time_point start{};
    for (int i = 0; i < RateLimit::most; ++i)
        CHECK(limit.allows("a", start));
    CHECK_FALSE(limit.allows("a", start));
    CHECK(limit.allows("b", start));
    CHECK(limit.allows("a", start + 20ms)); // 50 in a second
    CHECK_FALSE(limit.allows("a", start + 20ms));
}

TEST_CASE("whoever rests for long has no more than the full store") {
    RateLimit limit;
    const RateLimit::Clock::time_point start{};
    CHECK(limit.allows("a", start));
    int allowed = 0;
    while (limit.allows("a", start + 1h))
        ++allowed;
    CHECK(allowed == RateLimit::most);
}

TEST_CASE("many addresses do not fill the memory, nor free the one that asks too much") {
    RateLimit limit;
    RateLimit::Clock::time_point now{};
    for (std::size_t i = 0; i < 3 * RateLimit::most_addresses; ++i) {
        now += 1us;
        CHECK(limit.allows(std::to_string(i), now));
        while (limit.allows("greedy", now)) {
        }
    }
    CHECK_FALSE(limit.allows("greedy", now));
}

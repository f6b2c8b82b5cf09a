#include "base/aside.h"

#include <atomic>
#include <chrono>
#include <doctest/doctest.h>
#include <future>
#include <stdexcept>
#include <vector>

using namespace quaycell;
using namespace std::chrono_literals;

TEST_CASE("all pieces have been taken in order, by another thread, when it is finished") {
    std::vector<int> taken;
    std::thread::id taker;
    Aside<int> aside(
        [&](const int& piece) {
            taken.push_back(piece);
            taker = std::this_thread::get_id();
        },
        3);
    std::vector<int> given;
    for (int i = 0; i < 10'000; ++i) {
        given.push_back(i);
        aside.give(i);
    }
    aside.finish();
    CHECK(taken == given);
    CHECK(taker != std::this_thread::get_id());
}

TEST_CASE("who gives many pieces waits for who takes them") {
    std::promise<void> may_take;
    std::atomic<int> given = 0;
    Aside<int> aside([may = may_take.get_future().share()](const int&) { may.wait(); }, 3);
    auto giver = std::async(std::launch::async, [&] {
        for (int i = 0; i < 10; ++i, ++given)
            aside.give(i);
    });
    CHECK(giver.wait_for(100ms) == std::future_status::timeout);
    CHECK(given <= 4); // one is being taken, three wait
    may_take.set_value();
    giver.get();
    aside.finish();
    CHECK(given == 10);
}

TEST_CASE("what nobody finishes is dropped without waiting for all of it") {
    int taken = 0;
    {
        Aside<int> aside(
            [&](const int&) {
                ++taken;
                std::this_thread::sleep_for(10ms);
            },
            100);
        for (int i = 0; i < 100; ++i)
            aside.give(i);
    }
    CHECK(taken < 100);
}

TEST_CASE("what is thrown aside is thrown again at the end, and nothing is taken after it") {
    int taken = 0;
    Aside<int> aside(
        [&](const int&) {
            ++taken;
            throw std::runtime_error("a bug");
        },
        1);
    for (int i = 0; i < 10; ++i)
        aside.give(i);
    CHECK_THROWS_WITH(aside.finish(), "a bug");
    CHECK(taken == 1);
}

TEST_CASE("nothing given is finished at once") {
    bool any = false;
    Aside<int> aside([&](const int&) { any = true; }, 1);
    aside.finish();
    CHECK_FALSE(any);
}

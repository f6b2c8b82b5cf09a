#include "cli/thread_bug.h"

#include <doctest/doctest.h>
#include <stdexcept>
#include <thread>
#include <vector>

using namespace quaycell;

TEST_CASE("a bug in another thread is told there and thrown again in this one") {
    ThreadBug bug;
    std::vector<std::string> told;
    std::jthread([&] {
        bug.guard([] { throw std::logic_error("Result: no error here"); },
                  [&](const std::string& words) { told.push_back(words); });
    }).join();
    CHECK(told == std::vector<std::string>{
                      "this is a bug in the program, please report it: Result: no error here"});
    CHECK_THROWS_AS(bug.rethrow(), std::logic_error);
}

TEST_CASE("of several bugs each is told and the first is the one that is thrown again") {
    ThreadBug bug;
    int told = 0;
    for (const char* const what : {"first", "second"})
        bug.guard([&] { throw std::runtime_error(what); }, [&](const std::string&) { ++told; });
    CHECK(told == 2);
    CHECK_THROWS_WITH(bug.rethrow(), "first");
}

TEST_CASE("where nothing is thrown nothing is told") {
    ThreadBug bug;
    bool done = false;
    bug.guard([&] { done = true; }, [](const std::string& words) { FAIL(words); });
    CHECK(done);
    CHECK_NOTHROW(bug.rethrow());
}

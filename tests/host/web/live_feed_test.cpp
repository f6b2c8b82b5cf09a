#include "web/live_feed.h"

#include <cmath>
#include <doctest/doctest.h>
#include <thread>

using namespace quaycell;
using namespace std::chrono_literals;
using web::LiveFeed;

namespace {

/// Without the age, which is next to nothing here.
std::string greeting_of(const LiveFeed& feed) {
    std::string text = feed.greeting();
    const auto age = text.find("\"age_ms\":");
    REQUIRE(age != std::string::npos);
    const auto end = text.find(',', age);
    return text.substr(0, age) + text.substr(end + 1);
}

} // namespace

TEST_CASE("before anything was told there is nothing to show") {
    CHECK(LiveFeed().newest() == R"({"now":null})");
    CHECK(greeting_of(LiveFeed()) == R"({"now":null,"recent":[]})");
}

TEST_CASE("a page that was just opened gets the minutes before") {
    LiveFeed feed;
    feed.tell("1", Instant{1000ms}, -900.04);
    feed.tell("2", Instant{2000ms}, std::nan(""));
    CHECK(feed.newest() == R"({"now":2})");
    CHECK(greeting_of(feed) == R"({"now":2,"recent":[[1000,-900.0],[2000,null]]})");
}

TEST_CASE("a lost logger is told without a reading") {
    LiveFeed feed;
    feed.tell("1", Instant{1000ms}, -900);
    feed.tell(R"({"lost":"why"})");
    CHECK(greeting_of(feed) == R"({"now":{"lost":"why"},"recent":[[1000,-900.0]]})");
}

TEST_CASE("what is older than the minutes shown is forgotten") {
    LiveFeed feed;
    feed.tell("1", Instant{0ms}, -900);
    feed.tell("2", Instant{LiveFeed::kept}, -901);
    feed.tell("3", Instant{LiveFeed::kept} + 1ms, -902);
    CHECK(greeting_of(feed) == R"({"now":3,"recent":[[600000,-901.0],[600001,-902.0]]})");
}

TEST_CASE("each telling is news until nobody listens") {
    LiveFeed feed;
    int news = 0;
    feed.on_news([&] { ++news; });
    feed.tell("1", Instant{}, -900);
    feed.tell("2");
    CHECK(news == 2);
    feed.on_news({});
    feed.tell("3");
    CHECK(news == 2);
}

TEST_CASE("how old a reading is does not depend on anybody's clock on the wall") {
    LiveFeed feed;
    feed.tell("1", Instant{}, -900); // of 1970
    std::this_thread::sleep_for(30ms);
    const std::string greeting = feed.greeting();
    const int age_ms = std::stoi(greeting.substr(greeting.find("age_ms") + 8));
    CHECK(age_ms >= 30);
    CHECK(age_ms < 5000);
}

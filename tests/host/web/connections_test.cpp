#include "web/connections.h"

#include <doctest/doctest.h>

using namespace quaycell::web;

TEST_CASE("of one address there are so many, and of all so many, until one is given back") {
    Connections connections(3, 2);
    CHECK(connections.take("a"));
    CHECK(connections.take("a"));
    CHECK_FALSE(connections.take("a"));
    CHECK(connections.take("b"));
    CHECK_FALSE(connections.take("c"));
    connections.give_back("a");
    CHECK(connections.take("c"));
    CHECK_FALSE(connections.take("a"));
    connections.give_back("c");
    CHECK(connections.take("a"));
}

TEST_CASE("a counted connection is given back with its end, however many knew of it") {
    const auto connections = std::make_shared<Connections>(1, 1);
    CHECK(connections->take("a"));
    auto counted = std::make_shared<Counted>(connections, "a");
    const auto other = std::make_shared<std::shared_ptr<Counted>>(counted);
    counted.reset();
    CHECK_FALSE(connections->take("a"));
    other->reset();
    CHECK(connections->take("a"));
}

#include "logger/schedule.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("nothing is planned until something is asked for") {
    logger::Schedule schedule;
    CHECK(schedule.next() == logger::Schedule::never);
    CHECK_FALSE(schedule.take(1000).recorded);
}

TEST_CASE("a late wake-up takes one reading and goes on with the next multiple") {
    logger::Schedule schedule;
    schedule.record_every(10, 3);
    CHECK(schedule.next() == 10);
    CHECK(schedule.take(27).recorded);
    CHECK_FALSE(schedule.take(28).recorded);
    CHECK(schedule.next() == 30);
}

TEST_CASE("watching and recording do not disturb each other") {
    logger::Schedule schedule;
    schedule.record_every(10, 0);
    schedule.watch(true, 8);
    CHECK(schedule.next() == 9);
    const logger::Due at_9 = schedule.take(9);
    CHECK_FALSE(at_9.recorded);
    CHECK(at_9.live);
    const logger::Due at_10 = schedule.take(10);
    CHECK(at_10.recorded);
    CHECK(at_10.live);
    schedule.watch(false, 10);
    CHECK(schedule.next() == 20);
    schedule.stop_recording();
    CHECK(schedule.next() == logger::Schedule::never);
}

#include "judging/point_watch.h"

#include "made_live.h"

using namespace quaycell;
using namespace quaycell::testing;

namespace {

/// The level of AC that ends a watch is no matter here.
struct Point {
    void take(const MadeReading& made, int count = 1) {
        for (int i = 0; i < count; ++i)
            watch.take(MadeLive::reading_of(made, ++second));
    }

    static MadeReading open() {
        return {.flags = wire::flag_not_good_a, .source_a = MadeLive::open_lead};
    }

    PointWatch watch{live_facts(), 50};
    std::uint32_t second = 0;
};

constexpr MadeReading closed{.source_a = MadeLive::good_cell};

} // namespace

TEST_CASE("a reading has settled when a look after it finds the leads closed") {
    Point point;
    point.take(closed); // at the beginning tells nothing of the end
    point.take({}, 9);
    CHECK(point.watch.reading()->lies_still());
    CHECK_FALSE(point.watch.reading()->settled);
    CHECK_FALSE(point.watch.is_done(false));
    CHECK(point.watch.wants_look());
    point.take({});
    CHECK_FALSE(point.watch.wants_look()); // it is on its way
    point.take(closed);
    CHECK(point.watch.is_done(false));
    CHECK(point.watch.seen(false).taken->settled);
}

TEST_CASE("a look that does not come is asked for again") {
    Point point;
    point.take({}, 10);
    CHECK(point.watch.wants_look());
    point.take({}, 4);
    CHECK_FALSE(point.watch.wants_look());
    point.take({});
    CHECK(point.watch.wants_look());
}

TEST_CASE("the seconds in which the filter catches up after a look count for nothing") {
    Point point;
    point.take({}, 5);
    point.take(closed);
    point.take({.potential_mv = -990, .flags = wire::flag_unsettled}, 3);
    CHECK(point.watch.reading()->readings.size() == 6);
    point.take({}, 3);
    point.take(closed);
    CHECK(point.watch.is_done(false));
    CHECK(point.watch.seen(false).taken->point.value.potential_mv == doctest::Approx(-1000));
}

TEST_CASE("while the lead is open it is looked at again and again, and then all begins anew") {
    Point point;
    point.take({}, 10);
    point.take(Point::open());
    CHECK_FALSE(point.watch.reading());
    int asked = 0;
    for (int i = 0; i < 20; ++i) {
        point.take({.flags = wire::flag_not_good_a});
        asked += point.watch.wants_look();
    }
    CHECK(asked == 4);
    point.take(closed);
    CHECK_FALSE(point.watch.is_done(false));
    CHECK(point.watch.reading()->readings.size() == 1);
}

TEST_CASE(
    "who insists gets a reading at once, and one that has not settled, however still it lies") {
    Point point;
    point.take({}, 10);
    CHECK(point.watch.is_done(true));
    CHECK_FALSE(point.watch.seen(true).taken->settled);
}

TEST_CASE("readings that lie apart are not settled by any look") {
    Point point;
    point.take({.potential_mv = -1000}, 5);
    point.take({.potential_mv = -1003}, 4);
    CHECK_FALSE(point.watch.wants_look());
    point.take({.potential_mv = -1003, .source_a = MadeLive::good_cell});
    CHECK_FALSE(point.watch.is_done(false));
}

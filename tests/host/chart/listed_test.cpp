#include "chart/listed.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

JudgedTrace spells_of(std::initializer_list<Spell> spells) {
    JudgedTrace judged;
    judged.spells = spells;
    return judged;
}

Spell under(int from_s, int lasts_s, double worst_mv = missing_value) {
    return {from_unix_s(from_s), from_unix_s(from_s + lasts_s), Verdict::under_protected, 1,
            worst_mv};
}

} // namespace

TEST_CASE("of many spells the longest are told, in order of time, and how long the others lasted") {
    const auto spells =
        numbered_spells(spells_of({under(0, 10), under(100, 40), under(200, 20), under(300, 30)}));
    CHECK(longest_spells(spells, 4).rows.size() == 4);
    CHECK(longest_spells(spells, 4).left_out == 0);
    CHECK(longest_spells(spells, 4).left_out_lasting == Milliseconds{0});
    const Listed listed = longest_spells(spells, 2);
    CHECK(listed.rows == std::vector<std::size_t>{1, 3});
    CHECK(listed.left_out == 2);
    CHECK(listed.left_out_lasting == std::chrono::seconds{30});
}

TEST_CASE("the spell that went farthest is told however short it was") {
    Spell over{from_unix_s(500), from_unix_s(501), Verdict::over_protected, 1, -1400};
    Spell less{from_unix_s(600), from_unix_s(602), Verdict::over_protected, 1, -1200};
    const auto spells = numbered_spells(
        spells_of({under(0, 10, -400), under(100, 400, -800), under(200, 300, -800), over, less}));
    CHECK(longest_spells(spells, 3).rows == std::vector<std::size_t>{0, 1, 3});
}

TEST_CASE("of many events those of the largest change are told, upward or downward") {
    std::vector<Event> events;
    for (const double change_mv : {10.0, -90.0, missing_value, 40.0, 20.0})
        events.push_back({from_unix_s(static_cast<std::int64_t>(events.size())), EventKind::step,
                          change_mv, ""});
    events[2].kind = EventKind::gap;
    const Listed listed = largest_events(events, 2);
    CHECK(listed.rows == std::vector<std::size_t>{1, 3});
    CHECK(listed.left_out == 3);
}

TEST_CASE("what makes readings worthless is told before any step, a pause after all of them") {
    std::vector<Event> events;
    for (const EventKind kind : {EventKind::step, EventKind::gap, EventKind::open_lead,
                                 EventKind::step, EventKind::polarity_reversed})
        events.push_back({from_unix_s(static_cast<std::int64_t>(events.size())), kind,
                          kind == EventKind::step ? 40.0 : missing_value, ""});
    CHECK(largest_events(events, 3).rows == std::vector<std::size_t>{0, 2, 4});
    CHECK(largest_events(events, 4).rows == std::vector<std::size_t>{0, 2, 3, 4});
}

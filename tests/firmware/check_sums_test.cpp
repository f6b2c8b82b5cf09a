#include "logger/check_sums.h"

#include "board/profile.h"

#include <doctest/doctest.h>

using namespace quaycell;
using logger::CheckSums;
using logger::Input;

namespace {

void add_pairs(CheckSums& checks, int pairs) {
    for (int i = 0; i < pairs; ++i) {
        checks.add(Input::zero, 2);
        checks.add(Input::reference, 100);
    }
}

wire::Check taken(CheckSums& checks) {
    wire::Check record = {};
    checks.take(record);
    return record;
}

} // namespace

TEST_CASE("a deployment opens with four pairs, then sixteen make a record") {
    CheckSums checks(board::profile(0).circuit);
    checks.begin();
    CHECK(checks.next() == Input::zero);
    add_pairs(checks, 3);
    CHECK_FALSE(checks.record_due());
    add_pairs(checks, 1);
    CHECK(checks.record_due());
    CHECK(taken(checks).reference_sum == 400);
    CHECK_FALSE(checks.opening());
    for (int pair = 0; pair < 16; ++pair) {
        CHECK_FALSE(checks.record_due());
        checks.want_pair();
        add_pairs(checks, 1);
    }
    CHECK(taken(checks).zero_sum == 32);
}

TEST_CASE("what a conversion begun before the end brings is dropped") {
    CheckSums checks(board::profile(0).circuit);
    checks.begin();
    checks.add(Input::zero, 2);
    checks.end();
    SUBCASE("a code") {
        checks.add(Input::reference, 100);
    }
    SUBCASE("a zero") {
        checks.add(Input::zero, 2);
    }
    SUBCASE("nothing, because it failed") {
        checks.fail();
    }
    CHECK_FALSE(checks.wants_conversion());
    CHECK_FALSE(checks.record_due());
    checks.begin();
    CHECK(checks.next() == Input::zero);
}

TEST_CASE("a reference of the last deployment makes no pair in the next, nor does a zero of it") {
    CheckSums checks(board::profile(0).circuit);
    checks.begin();
    checks.add(Input::zero, 999);
    checks.begin();
    CHECK(checks.next() == Input::zero);
    checks.add(Input::reference, 999); // it was under way
    add_pairs(checks, 4);
    const wire::Check record = taken(checks);
    CHECK(record.count == 4);
    CHECK(record.zero_sum == 8);
    CHECK(record.reference_sum == 400);
}

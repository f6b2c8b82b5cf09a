#include "diagnosis/practice.h"

#include <doctest/doctest.h>
#include <set>
#include <stdexcept>
#include <string>

using namespace quaycell;

TEST_CASE("every rule of practice says what it is, where it comes from and how sure that is") {
    std::set<std::string_view> ids;
    for (const PracticeRule& rule : practice_rules()) {
        INFO(rule.id);
        CHECK(ids.insert(rule.id).second);
        CHECK_FALSE(rule.unit.empty());
        CHECK_FALSE(rule.says.empty());
        CHECK_FALSE(rule.source.empty());
        CHECK_FALSE(rule.status.empty());
        CHECK(practice(rule.id) == rule.value);
    }
    CHECK_THROWS_AS(practice("no such rule"), std::logic_error);
}

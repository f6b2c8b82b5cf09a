#include "report/report_parts.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("a hyphen that begins a number is a minus sign, and no other is") {
    CHECK(with_minus_signs("-918 mV the median (-20 to -5)") == "−918 mV the median (−20 to −5)");
    for (const char* words : {"2026-05-04", "over-protected", "a - b", "--archive", "5-9", "-", ""})
        CHECK(with_minus_signs(words) == words);
}

TEST_CASE("a limit that nobody publishes is said to be none") {
    Criterion criterion{};
    criterion.kind = CriterionKind::absolute;
    criterion.protected_from_mv = -450;
    CHECK(limits_of(criterion) ==
          "protected from −450 mV; no limit of over-protection is published");
    criterion.over_at_mv = -600;
    CHECK(limits_of(criterion) == "protected from −450 mV; over-protected at −600 mV");
    criterion.protected_from_mv.reset();
    CHECK(limits_of(criterion) == "no limit of protection is published; over-protected at −600 mV");
    criterion.kind = CriterionKind::shift;
    criterion.protected_from_mv = -100;
    CHECK(limits_of(criterion) == "−100 mV from the free potential");
}

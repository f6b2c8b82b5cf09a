#include "calibration/limits.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

bool accepts(Limit limit, double value) {
    return Check{limit, "", value}.accepted();
}

} // namespace

// The limits of the procedure, design values: the last value that is accepted and the first that is
// not.
TEST_CASE("each limit is that of the procedure") {
    CHECK(accepts(Limit::zero, 3));
    CHECK_FALSE(accepts(Limit::zero, -3.01));
    CHECK(accepts(Limit::reference, 1024 * 0.9976));
    CHECK_FALSE(accepts(Limit::reference, 1024 * 1.0026));
    CHECK(accepts(Limit::gain, 1.0003 + 0.0019));
    CHECK_FALSE(accepts(Limit::gain, 1.0003 + 0.0021));
    CHECK_FALSE(accepts(Limit::gain, 1.0003 - 0.0021));
    CHECK(accepts(Limit::offset, -0.39));
    CHECK_FALSE(accepts(Limit::offset, 0.41));
    CHECK(accepts(Limit::verify, -0.24));
    CHECK_FALSE(accepts(Limit::verify, 0.26));
    CHECK_FALSE(accepts(Limit::behind_100_kohm, 0.11));
    CHECK(accepts(Limit::behind_10_mohm, 3.4));
    CHECK_FALSE(accepts(Limit::behind_10_mohm, -3.6));
    CHECK(accepts(Limit::stimulus_short, 5.5 * 1.14));
    CHECK_FALSE(accepts(Limit::stimulus_short, 5.5 * 1.16));
    CHECK(accepts(Limit::stimulus_10_kohm, 10.7 * 0.86));
    CHECK_FALSE(accepts(Limit::stimulus_10_kohm, 10.7 * 0.84));
    CHECK(accepts(Limit::stimulus_100_kohm, 45.7 * 0.86));
    CHECK_FALSE(accepts(Limit::stimulus_100_kohm, 45.7 * 1.16));
    CHECK(accepts(Limit::stimulus_open, 141));
    CHECK_FALSE(accepts(Limit::stimulus_open, 139));
    CHECK(accepts(Limit::ac_gain, 0.971));
    CHECK_FALSE(accepts(Limit::ac_gain, 1.031));
    CHECK_FALSE(accepts(Limit::ac_dc_shift, -0.11));
    CHECK_FALSE(accepts(Limit::stuck_bits, 1));
}

TEST_CASE("what is no number is never accepted") {
    for (int i = 0; i <= static_cast<int>(Limit::scatter); ++i)
        CHECK_FALSE(accepts(static_cast<Limit>(i), NAN));
}

TEST_CASE("a check tells its value, its limit and what came of it") {
    CHECK(to_text({Limit::verify, "-1800 mV", 0.12}) ==
          "error at -1800 mV: 0.120 mV (-0.25 to 0.25 mV): accepted");
    CHECK(to_text({Limit::gain, "", 1.01}) == "gain: 1.01000 (0.9983 to 1.0023): refused");
}

TEST_CASE("every limit says where it comes from") {
    for (int i = 0; i <= static_cast<int>(Limit::scatter); ++i) {
        const LimitFacts& facts = facts_of(static_cast<Limit>(i));
        CHECK_FALSE(facts.source.empty());
        CHECK(facts.low <= facts.high);
    }
}

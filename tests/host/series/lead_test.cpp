#include "series/lead.h"

#include "records.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

/// The code of a response, [mV]; 0.793 mV each.
std::uint8_t code(double mv) {
    return static_cast<std::uint8_t>(std::lround(mv / 0.793));
}
constexpr std::uint8_t nothing = wire::missing_byte;

} // namespace

TEST_CASE("up to 55 mV a lead is good, up to 65 mV the cell is drying, beyond it is not good") {
    CHECK(lead_state(nothing, circuit) == LeadState::unknown);
    CHECK(lead_state(code(5.5), circuit) == LeadState::good);
    CHECK(lead_state(code(45.7), circuit) == LeadState::good);
    CHECK(lead_state(code(53), circuit) == LeadState::good);
    CHECK(lead_state(code(57), circuit) == LeadState::drying);
    CHECK(lead_state(code(63), circuit) == LeadState::drying);
    CHECK(lead_state(code(67), circuit) == LeadState::not_good);
    CHECK(lead_state(code(167), circuit) == LeadState::not_good);
    CHECK(lead_state(254, circuit) == LeadState::not_good);
}

TEST_CASE("the source resistance is that of the simulated circuit at the same response") {
    struct {
        double mv, ohm;
    } const rows[] = {{10.7, 10e3}, {20.1, 30e3}, {45.7, 100e3}, {86.0, 300e3}, {129.5, 1e6}};
    for (const auto& row : rows) {
        CAPTURE(row.ohm);
        // A code more or less is 1.4 kohm near the bottom.
        CHECK(std::abs(source_ohm(code(row.mv), circuit) - row.ohm) < 1500 + 0.03 * row.ohm);
    }
    CHECK(source_ohm(code(5.5), circuit) < 1500);
    CHECK(std::isnan(source_ohm(nothing, circuit)));
    CHECK(std::isnan(source_ohm(code(167), circuit)));
    CHECK(std::isnan(source_ohm(code(143), circuit))); // open, on 3 nF of cable
}

TEST_CASE("the words say which it is, as far as it can be told") {
    CHECK(lead_words(nothing, nothing, circuit).empty());
    CHECK(lead_words(code(10.7), code(167), circuit).empty());
    CHECK(lead_words(code(60), nothing, circuit).find("drying") != std::string::npos);
    const std::string alone = lead_words(code(167), nothing, circuit);
    CHECK(alone.find("or the hull's clip is off") != std::string::npos);
    CHECK(lead_words(code(167), code(167), circuit) == alone);
    CHECK(lead_words(code(167), code(10.7), circuit).find("clip holds") != std::string::npos);
    // On two long cables, and behind 30 kohm each on short ones (simulated circuit).
    for (const double mv : {71.4, 91.1})
        CHECK(lead_words(code(mv), code(mv), circuit) ==
              "the hull's clip is off; both cells are in the water");
    CHECK(lead_words(code(143), code(143), circuit) == alone); // both open, on long cables
}

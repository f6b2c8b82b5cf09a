#include "series/lead.h"

#include "records.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

/// The code of a response, [mV]; 0.789 mV each.
std::uint8_t code(double mv) {
    return static_cast<std::uint8_t>(std::lround(mv / 0.789));
}
constexpr std::uint8_t nothing = wire::missing_byte;

} // namespace

TEST_CASE("up to 55 mV a lead is good, up to 80 mV the cell is drying, beyond it is not good") {
    CHECK(lead_state(nothing, circuit) == LeadState::unknown);
    CHECK(lead_state(code(5.5), circuit) == LeadState::good);
    CHECK(lead_state(code(47), circuit) == LeadState::good);
    CHECK(lead_state(code(53), circuit) == LeadState::good);
    CHECK(lead_state(code(57), circuit) == LeadState::drying);
    CHECK(lead_state(code(78), circuit) == LeadState::drying);
    CHECK(lead_state(code(82), circuit) == LeadState::not_good);
    CHECK(lead_state(code(169), circuit) == LeadState::not_good);
    CHECK(lead_state(254, circuit) == LeadState::not_good);
}

TEST_CASE("the source resistance is that of the simulated circuit at the same response") {
    struct {
        double mv, ohm;
    } const rows[] = {{11, 10e3}, {20, 30e3}, {47, 100e3}, {89, 300e3}, {133, 1e6}};
    for (const auto& row : rows) {
        CAPTURE(row.ohm);
        // A code more or less is 1.4 kohm near the bottom.
        CHECK(std::abs(source_ohm(code(row.mv), circuit) - row.ohm) < 1500 + 0.12 * row.ohm);
    }
    CHECK(source_ohm(code(5.5), circuit) < 1500);
    CHECK(std::isnan(source_ohm(nothing, circuit)));
    CHECK(std::isnan(source_ohm(code(169), circuit)));
    CHECK(std::isnan(source_ohm(code(143), circuit))); // open, on 3 nF of cable
}

TEST_CASE("the words say which it is, as far as it can be told") {
    CHECK(lead_words(nothing, nothing, circuit).empty());
    CHECK(lead_words(code(11), code(169), circuit).empty());
    CHECK(lead_words(code(65), nothing, circuit).find("drying") != std::string::npos);
    const std::string alone = lead_words(code(169), nothing, circuit);
    CHECK(alone.find("or the hull's clip is off") != std::string::npos);
    CHECK(lead_words(code(169), code(169), circuit) == alone);
    CHECK(lead_words(code(169), code(11), circuit).find("clip holds") != std::string::npos);
    for (const double mv : {87.0, 98.0})
        CHECK(lead_words(code(mv), code(mv), circuit) ==
              "the hull's clip is off; both cells are in the water");
    CHECK(lead_words(code(143), code(143), circuit) == alone); // both open, on long cables
}

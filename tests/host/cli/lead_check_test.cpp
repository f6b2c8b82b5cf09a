#include "cli/lead_check.h"

#include "link/fake_logger.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;

namespace {

// Codes of the stimulus, 0.793 mV each: 10.3, 63 and 167 mV.
constexpr std::uint8_t good = 13, drying = 80, open = 211;

/// The logger on the line says that every live reading is this one.
Result<LeadCheck> checked(std::int16_t code, std::uint16_t flags = 0, std::uint8_t source_a = good,
                          std::uint8_t source_b = open) {
    FakeLogger fake;
    fake.live_readings = 20;
    const LineFault replace = [&](Bytes& said) {
        Bytes out;
        wire::FrameReader<wire::max_content> reader;
        std::size_t from = 0;
        for (std::size_t i = 0; i < said.size(); ++i) {
            if (reader.push(said[i]) != wire::FrameEvent::frame) continue;
            const auto type = static_cast<wire::MessageType>(reader.type());
            if (type == wire::MessageType::live_reading) {
                auto live = wire::from_bytes<wire::LiveReading>(reader.payload());
                live.reading.cell_a = code;
                live.reading.flags = flags;
                live.reading.source_a = source_a;
                live.reading.source_b = source_b;
                wire::seal(live.reading);
                const Bytes frame = frame_of(type, reader.sequence(), live);
                out.insert(out.end(), frame.begin(), frame.end());
            } else {
                out.insert(out.end(), said.begin() + static_cast<std::ptrdiff_t>(from),
                           said.begin() + static_cast<std::ptrdiff_t>(i + 1));
            }
            from = i + 1;
        }
        said = out;
    };
    auto logger = Logger::connect(
        line_to(fake, replace),
        Timing{.answer = Milliseconds{10}, .attempts = 4, .live_reading = Milliseconds{10}});
    REQUIRE(logger);
    return check_lead(*logger);
}

std::string refused(const Result<LeadCheck>& result) {
    REQUIRE_FALSE(result);
    CHECK(result.error().code == ErrorCode::refused);
    CHECK(result.error().remedy.ends_with("--without-lead-check."));
    return result.error().what;
}

} // namespace

TEST_CASE("a settled and believable reading is told in millivolts") {
    const LeadCheck check = checked(14400).value();
    CHECK(check.potential_mv == doctest::Approx(-900)); // 62.5 uV a code, reversed
    CHECK(check.state == LeadState::good);
    CHECK(check.source_ohm == doctest::Approx(10e3).epsilon(0.15));
    CHECK(check.words.empty());
}

TEST_CASE("an open lead, a dry cell and a clip that is off are refused, a drying cell is told") {
    CHECK(refused(checked(14400, wire::flag_not_good_a, open)).starts_with("the lead of the cell"));
    CHECK(refused(checked(14400, wire::flag_not_good_a, open, good)).starts_with("cell A's lead"));
    CHECK(refused(checked(14400, wire::flag_not_good_a, 110, 110)).starts_with("the hull's clip"));
    const LeadCheck check = checked(14400, wire::flag_drying_a, drying).value();
    CHECK(check.state == LeadState::drying);
    CHECK(check.words.find("drying out") != std::string::npos);
}

TEST_CASE("a logger that did not look at the leads does not count as good") {
    CHECK(refused(checked(14400, 0, wire::missing_byte)) ==
          "the logger did not look at cell and leads");
}

TEST_CASE("what a cell or lead at fault reads is refused with what it may be") {
    CHECK(refused(checked(40)).starts_with("the reading is -2.5 mV, as when the cell is out of"));
    CHECK(refused(checked(-8000)) == "the reading is +500 mV, more than any metal of a boat shows: "
                                     "the two leads may be swapped");
    CHECK(refused(checked(32767, wire::flag_saturated_a)) ==
          "the potential is beyond what the logger can measure");
    CHECK(refused(checked(14400, wire::flag_unsettled)) == "the reading does not settle");
    CHECK(refused(checked(wire::missing_code, wire::flag_converter_fault)) ==
          "the logger's converter does not answer: no potential is measured");
}

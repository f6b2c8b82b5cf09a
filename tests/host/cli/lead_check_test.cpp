#include "cli/lead_check.h"

#include "link/fake_logger.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;

namespace {

/// The logger on the line says that every live reading is this one.
Result<double> checked(std::int16_t code, std::uint16_t flags = 0) {
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

std::string refused(const Result<double>& result) {
    REQUIRE_FALSE(result);
    CHECK(result.error().code == ErrorCode::refused);
    CHECK(result.error().remedy.ends_with("--without-lead-check."));
    return result.error().what;
}

} // namespace

TEST_CASE("a settled and believable reading is told in millivolts") {
    CHECK(checked(14400).value() == doctest::Approx(-900)); // 62.5 uV a code, reversed
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

#include "calibration/sampling.h"

#include <cmath>
#include <doctest/doctest.h>
#include <functional>

using namespace quaycell;

namespace {

/// A settled second.
wire::LiveReading second(std::uint32_t tick_s, std::int16_t code) {
    wire::LiveReading live{};
    live.reading.head.ticks_s = tick_s;
    live.reading.cell_a = code;
    live.reading.cell_b = wire::missing_code;
    live.reading.ac_a = live.reading.ac_b = wire::missing_count;
    live.reading.source_a = live.reading.source_b = wire::missing_byte;
    live.reading.board = 4 * 25;
    live.zero = 2;
    live.reference = 16402;
    return live;
}

Result<Sample> sampled(Sampling& sampling,
                       const std::function<wire::LiveReading(std::uint32_t)>& at) {
    for (std::uint32_t tick_s = 100; sampling.take(at(tick_s)); ++tick_s)
        REQUIRE(tick_s < 300);
    return sampling.sample();
}

std::string why(const std::function<wire::LiveReading(std::uint32_t)>& at,
                CellInput cell = CellInput::a) {
    Sampling sampling(cell, 5);
    const auto sample = sampled(sampling, at);
    REQUIRE_FALSE(sample);
    CHECK(sample.error().code == ErrorCode::refused);
    CHECK_FALSE(sample.error().remedy.empty());
    return sample.error().what;
}

} // namespace

TEST_CASE("sixteen readings after five seconds make a mean") {
    Sampling sampling(CellInput::a, 5);
    // The first five seconds, which are still on their way, would make another one.
    const auto sample = sampled(sampling, [](std::uint32_t tick_s) {
        return second(tick_s, static_cast<std::int16_t>(tick_s < 105      ? 9999
                                                        : tick_s % 2 == 0 ? 1000
                                                                          : 1002));
    });
    REQUIRE(sample);
    CHECK(sampling.taken() == readings_of_a_mean);
    CHECK(sample->code == 1001);
    CHECK(sample->scatter_codes == doctest::Approx(std::sqrt(16.0 / 15))); // by hand
    CHECK(sample->converter.zero == 2);
    CHECK(*sample->converter.reference == 16400);
    CHECK(sample->board_c == 25);
    CHECK(std::isnan(sample->other_code));
}

TEST_CASE("readings that the logger marks as unsettled do not count") {
    Sampling sampling(CellInput::a, 5);
    const auto sample = sampled(sampling, [](std::uint32_t tick_s) {
        auto live = second(tick_s, tick_s == 110 ? 2000 : 1000);
        if (tick_s == 110) live.reading.flags = wire::flag_unsettled;
        return live;
    });
    REQUIRE(sample);
    CHECK(sample->code == 1000);
}

TEST_CASE("AC and stimulus are those of the cell that is asked for") {
    Sampling sampling(CellInput::b, 5);
    const auto sample = sampled(sampling, [](std::uint32_t tick_s) {
        auto live = second(tick_s, -500);
        live.reading.cell_b = 800;
        if (tick_s == 100) live.reading.ac_b = 500; // on its way since before
        if (tick_s == 110) live.reading.ac_b = 30;
        if (tick_s == 120) live.reading.ac_b = 40;
        live.reading.ac_a = 999;
        live.reading.source_a = 14;
        live.reading.source_b = 7;
        return live;
    });
    REQUIRE(sample);
    CHECK(sample->code == 800);
    CHECK(sample->other_code == -500);
    CHECK(sample->ac_code == 35); // rms of 30 and 40: 35.36
    CHECK(sample->response == 7);
    CHECK(sample->other_response == 14);
}

TEST_CASE("the response alone is there as soon as the logger has looked, with nothing joined") {
    Sampling sampling(CellInput::b, 5, SampleOf::response);
    std::uint32_t seen = 0;
    const auto sample = sampled(sampling, [&](std::uint32_t tick_s) {
        auto live = second(tick_s, -500);
        ++seen;
        if (seen == 1) live.reading.source_b = 7; // of before
        if (seen == 3) live.reading.source_b = 214;
        return live;
    });
    REQUIRE(sample);
    CHECK(sample->response == 214);
    CHECK(seen == 3);
}

TEST_CASE("why there is no mean is told") {
    CHECK(why([](std::uint32_t tick_s) {
              auto live = second(tick_s, 0);
              live.reading.flags = wire::flag_converter_fault;
              return live;
          }) == "the logger's converter does not answer: no potential is measured");
    CHECK(why([](std::uint32_t tick_s) {
              auto live = second(tick_s, INT16_MAX);
              live.reading.flags = wire::flag_saturated_a;
              return live;
          }) == "the voltage is beyond what the logger can measure");
    CHECK(why([](std::uint32_t tick_s) { return second(tick_s, 0); }, CellInput::b) ==
          "the logger takes cell B for absent and does not measure it");
    CHECK(why([](std::uint32_t tick_s) {
              auto live = second(tick_s, 0);
              live.reading.flags = wire::flag_unsettled;
              return live;
          }) == "the readings do not settle");
    CHECK(why([](std::uint32_t tick_s) {
              auto live = second(tick_s, 0);
              live.reading.board = wire::missing_code;
              return live;
          }) == "the clock chip does not tell the board's temperature");
    CHECK(why([](std::uint32_t tick_s) {
              auto live = second(tick_s, 0);
              live.zero = live.reference = wire::missing_code;
              return live;
          }) == "the converter's own checks are missing");
}

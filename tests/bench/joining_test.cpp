#include "bench/joining.h"

#include <doctest/doctest.h>

using namespace quaycell::bench;
using namespace std::chrono_literals;

namespace {

std::string told(Calibrator& calibrator, const std::string& line, Time now = 0s) {
    std::istringstream words{line};
    std::string command;
    words >> command;
    return join(calibrator, now, command, words).value_or("not mine");
}

} // namespace

TEST_CASE("a source is joined to either cell, with and without a resistance") {
    Calibrator calibrator;
    CHECK(told(calibrator, "source -1500.5") == "source -1500.5 mV at cell A, 0 ohm");
    CHECK(told(calibrator, "source -1100 b 100000") == "source -1100 mV at cell B, 100000 ohm");
    CHECK(told(calibrator, "source 0 10000") == "source 0 mV at cell A, 10000 ohm");
    CHECK(calibrator.at(Cell::a, 0s)->mv == 0);
    CHECK(calibrator.at(Cell::a, 0s)->ohm == 10e3);
    CHECK(calibrator.at(Cell::b, 0s)->mv == -1100);
}

TEST_CASE("AC goes on top of the sources that are joined, and goes with the next source") {
    Calibrator calibrator;
    told(calibrator, "source -1100");
    CHECK(told(calibrator, "ac 1000 60") == "ac 1000 mV, 60 Hz");
    CHECK(calibrator.at(Cell::a, 0s)->ac_mv == 1000);
    CHECK(calibrator.at(Cell::a, 0s)->ac_hz == 60);
    CHECK(calibrator.at(Cell::a, 0s)->mv == -1100);
    CHECK(calibrator.at(Cell::b, 0s) == nullptr);
    told(calibrator, "source -1100");
    CHECK(calibrator.at(Cell::a, 0s)->ac_mv == 0);
}

TEST_CASE("an open jack holds what was there; the sea comes back") {
    Calibrator calibrator;
    told(calibrator, "source -300 b");
    CHECK(told(calibrator, "open b") == "open cell B");
    CHECK(calibrator.at(Cell::b, 0s)->open);
    CHECK(calibrator.at(Cell::b, 0s)->mv == -300);
    CHECK(told(calibrator, "sea") == "sea");
    CHECK(calibrator.at(Cell::b, 0s) == nullptr);
}

TEST_CASE("wrong words are told, and change nothing") {
    Calibrator calibrator;
    for (const char* line : {"source", "source much", "source -1500 c", "source -1500 b -1",
                             "source -9000", "source -1500 10 more", "ac 1000", "ac 1 2 3",
                             "open c", "open a b", "board", "board 200", "sea now", "source nan"})
        CHECK_MESSAGE(told(calibrator, line).starts_with("error: "), line);
    CHECK(calibrator.at(Cell::a, 0s) == nullptr);
    CHECK_FALSE(calibrator.board_c(0s));
    CHECK(told(calibrator, "advance 7d") == "not mine");
}

TEST_CASE("the board is held at a temperature") {
    Calibrator calibrator;
    CHECK(told(calibrator, "board 5") == "board 5 degC");
    CHECK(calibrator.board_c(0s) == 5);
}

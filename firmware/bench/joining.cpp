#include "bench/joining.h"

#include "bench/sea/signal.h"

#include <array>
#include <fmt/format.h>

namespace quaycell::bench {

namespace {

constexpr std::array cells{Cell::a, Cell::b};

// Beyond these the model of the front end says nothing.
constexpr Range possible_mv{-2500, 1500}, possible_ohm{0, 100e6}, possible_ac_mv{0, 5000},
    possible_hz{10, 1000}, possible_board_c{-40, 85};

std::optional<double> number(std::istringstream& words, const Range& possible) {
    double value = 0;
    if (!(words >> value) || value < possible.low || value > possible.high) return std::nullopt;
    return value;
}

/// Cell B where the next word is "b".
Cell cell_named(std::istringstream& words) {
    words >> std::ws;
    if (words.peek() != 'b') return Cell::a;
    words.get();
    return Cell::b;
}

bool at_end(std::istringstream& words) {
    words.clear();
    std::string more;
    return !(words >> more);
}

std::string source(Calibrator& calibrator, Time now, std::istringstream& words) {
    const auto mv = number(words, possible_mv);
    const Cell cell = cell_named(words);
    words >> std::ws;
    const auto ohm = words.eof() ? std::optional{0.} : number(words, possible_ohm);
    if (!mv || !ohm || !at_end(words))
        return "error: source needs a potential in mV, then b for cell B, then a resistance, for "
               "instance \"source -1500\" or \"source -1100 b 100000\"";
    calibrator.join(cell, now, JoinedSource{*mv, *ohm});
    return fmt::format("source {} mV at cell {}, {} ohm", *mv, cell == Cell::a ? 'A' : 'B', *ohm);
}

std::string ac(Calibrator& calibrator, Time now, std::istringstream& words) {
    const auto mv = number(words, possible_ac_mv);
    const auto hz = number(words, possible_hz);
    if (!mv || !hz || !at_end(words))
        return "error: ac needs an rms voltage in mV and a frequency in Hz, for instance \"ac 1000 "
               "50\"";
    for (const Cell cell : cells) {
        const JoinedSource* const before = calibrator.at(cell, now);
        if (before == nullptr) continue;
        JoinedSource with = *before;
        with.ac_mv = *mv;
        with.ac_hz = *hz;
        calibrator.join(cell, now, with);
    }
    return fmt::format("ac {} mV, {} Hz", *mv, *hz);
}

std::string open(Calibrator& calibrator, Time now, std::istringstream& words) {
    const Cell cell = cell_named(words);
    if (!at_end(words)) return "error: open takes nothing after it but b";
    const JoinedSource* const before = calibrator.at(cell, now);
    JoinedSource opened = before == nullptr ? JoinedSource{} : *before;
    opened.open = true;
    calibrator.join(cell, now, opened);
    return fmt::format("open cell {}", cell == Cell::a ? 'A' : 'B');
}

std::string board(Calibrator& calibrator, Time now, std::istringstream& words) {
    const auto celsius = number(words, possible_board_c);
    if (!celsius || !at_end(words))
        return "error: board needs a temperature in degC, for instance \"board 5\"";
    calibrator.hold_board_at(now, *celsius);
    return fmt::format("board {} degC", *celsius);
}

std::string sea(Calibrator& calibrator, Time now, std::istringstream& words) {
    if (!at_end(words)) return "error: sea takes nothing after it";
    for (const Cell cell : cells)
        calibrator.join(cell, now, std::nullopt);
    return "sea";
}

} // namespace

std::optional<std::string> join(Calibrator& calibrator, Time now, const std::string& command,
                                std::istringstream& words) {
    if (command == "source") return source(calibrator, now, words);
    if (command == "ac") return ac(calibrator, now, words);
    if (command == "open") return open(calibrator, now, words);
    if (command == "board") return board(calibrator, now, words);
    if (command == "sea") return sea(calibrator, now, words);
    return std::nullopt;
}

} // namespace quaycell::bench

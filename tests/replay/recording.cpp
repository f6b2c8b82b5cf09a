#include "replay/recording.h"

#include <charconv>
#include <fmt/format.h>
#include <stdexcept>

namespace quaycell::replay {

namespace {

[[noreturn]] void wrong_line(std::size_t number) {
    throw std::runtime_error(fmt::format("line {} of the recording is none", number));
}

template <typename Number>
Number number_in(std::string_view text, int base, std::size_t line) {
    Number number{};
    const auto [end, failure] =
        std::from_chars(text.data(), text.data() + text.size(), number, base);
    if (failure != std::errc{} || end != text.data() + text.size()) wrong_line(line);
    return number;
}

std::string_view take_word(std::string_view& line) {
    const std::size_t end = std::min(line.find(' '), line.size());
    const std::string_view word = line.substr(0, end);
    line.remove_prefix(std::min(end + 1, line.size()));
    return word;
}

Piece piece_in(std::string_view line, std::size_t number) {
    const std::string_view side = take_word(line);
    if (side != "host" && side != "logger") wrong_line(number);
    Piece piece{side == "host" ? Side::host : Side::logger,
                Milliseconds{number_in<std::int64_t>(take_word(line), 10, number)},
                {}};
    if (line.size() % 2 != 0) wrong_line(number);
    for (; !line.empty(); line.remove_prefix(2))
        piece.bytes.push_back(number_in<std::uint8_t>(line.substr(0, 2), 16, number));
    return piece;
}

} // namespace

std::vector<Piece> read_recording(std::string_view text) {
    std::vector<Piece> pieces;
    for (std::size_t number = 1; !text.empty(); ++number) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (line.empty() || line.front() == '#') continue;
        pieces.push_back(piece_in(line, number));
    }
    return pieces;
}

} // namespace quaycell::replay

#include "cli/fitted.h"

#include "cli/live_screen.h"

#include <algorithm>
#include <sys/ioctl.h>
#include <unistd.h>

namespace quaycell {

namespace {

constexpr std::size_t narrowest = 20;

/// Runs of blanks become two, which still part what stood in columns.
std::string closed_up(const std::string& text) {
    std::string closed;
    for (const char c : text)
        if (c != ' ' || !closed.ends_with("  ")) closed += c;
    return closed;
}

/// Of UTF-8.
std::size_t characters(const std::string& text) {
    return static_cast<std::size_t>(std::ranges::count_if(
        text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string fitted_line(const std::string& line, std::size_t columns) {
    if (characters(line) <= columns) return line;
    const std::size_t indent = std::min(line.find_first_not_of(' '), line.size());
    // One blank at the end belongs to a question.
    const std::string end = line.ends_with(' ') ? " " : "";
    std::string text;
    std::size_t in = indent;
    for (std::string rest = closed_up(line.substr(indent)); !rest.empty();) {
        std::string first = wrapped(rest, columns - std::min(in, columns / 2)).front();
        rest.erase(0, first.size());
        rest.erase(0, rest.find_first_not_of(' '));
        first.erase(first.find_last_not_of(' ') + 1);
        text += std::string(in, ' ') + first + (rest.empty() ? "" : "\n");
        in = indent + 2;
    }
    return text + end;
}

std::optional<std::size_t> columns_of(int file) {
    winsize size{};
    if (::isatty(file) == 0 || ::ioctl(file, TIOCGWINSZ, &size) != 0 || size.ws_col < narrowest)
        return std::nullopt;
    return size.ws_col;
}

} // namespace

std::optional<std::size_t> columns_of_words() {
    return columns_of(STDERR_FILENO);
}

std::string fitted(const std::string& text, std::size_t columns) {
    std::string result;
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t end = text.find('\n', from);
        result += fitted_line(text.substr(from, end - from), columns);
        if (end == std::string::npos) break;
        result += '\n';
        from = end + 1;
    }
    return result;
}

std::string fitted_words(const std::string& text) {
    const auto columns = columns_of_words();
    return columns ? fitted(text, *columns) : text;
}

std::string fitted_output(const std::string& text) {
    const auto columns = columns_of(STDOUT_FILENO);
    return columns ? fitted(text, *columns) : text;
}

} // namespace quaycell

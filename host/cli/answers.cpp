#include "cli/answers.h"

#include "cli/interrupt.h"

#include <algorithm>
#include <cerrno>
#include <poll.h>
#include <unistd.h>

namespace quaycell {

namespace {

constexpr int look_every_ms = 200; // for Ctrl-C, should it come between two looks

std::string without_blanks(const std::string& line) {
    constexpr const char* blanks = " \t\r";
    const std::size_t from = line.find_first_not_of(blanks);
    if (from == std::string::npos) return "";
    return line.substr(from, line.find_last_not_of(blanks) + 1 - from);
}

} // namespace

/// What has come, or comes within that time.
void Answers::take_bytes(int wait_ms) {
    pollfd watched{STDIN_FILENO, POLLIN, 0};
    if (ended_ || ::poll(&watched, 1, wait_ms) <= 0) return;
    char bytes[256];
    const ssize_t count = ::read(STDIN_FILENO, bytes, sizeof bytes);
    if (count < 0 && errno == EINTR) return;
    ended_ = count <= 0;
    if (count > 0) pending_.append(bytes, static_cast<std::size_t>(count));
}

/// As next() gives it; nothing while it has no end yet.
std::optional<std::string> Answers::first_line() const {
    const std::size_t end = pending_.find('\n');
    if (end == std::string::npos && (!ended_ || pending_.empty())) return std::nullopt;
    return without_blanks(pending_.substr(0, end));
}

void Answers::drop_line() {
    const std::size_t end = pending_.find('\n');
    pending_.erase(0, end == std::string::npos ? end : end + 1);
}

Result<std::optional<std::string>> Answers::next() {
    for (;;) {
        if (interrupted()) return Error{ErrorCode::interrupted, "ended by Ctrl-C", "", ""};
        if (auto line = first_line()) {
            drop_line();
            return line;
        }
        if (ended_) return std::optional<std::string>{};
        take_bytes(look_every_ms);
    }
}

std::optional<std::string> Answers::next_if(std::initializer_list<std::string_view> wanted) {
    const bool by_hand = ::isatty(STDIN_FILENO) != 0;
    for (;;) {
        if (!first_line()) take_bytes(0);
        auto line = first_line();
        if (!line) return std::nullopt;
        const bool counts = std::ranges::find(wanted, *line) != wanted.end();
        if (!counts && !by_hand) return std::nullopt;
        drop_line();
        if (counts) return line;
        if (!line->empty()) passed_over_.push_back(std::move(*line));
    }
}

} // namespace quaycell

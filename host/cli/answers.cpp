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

Result<std::optional<std::string>> Answers::next() {
    for (;;) {
        if (interrupted()) return Error{ErrorCode::interrupted, "ended by Ctrl-C", "", ""};
        const std::size_t end = pending_.find('\n');
        if (end != std::string::npos || (ended_ && !pending_.empty())) {
            const std::string line = pending_.substr(0, end);
            pending_.erase(0, end == std::string::npos ? end : end + 1);
            return std::optional{without_blanks(line)};
        }
        if (ended_) return std::optional<std::string>{};
        pollfd watched{STDIN_FILENO, POLLIN, 0};
        if (::poll(&watched, 1, look_every_ms) <= 0) continue;
        char bytes[256];
        const ssize_t count = ::read(STDIN_FILENO, bytes, sizeof bytes);
        if (count < 0 && errno == EINTR) continue;
        ended_ = count <= 0;
        if (count > 0) pending_.append(bytes, static_cast<std::size_t>(count));
    }
}

} // namespace quaycell

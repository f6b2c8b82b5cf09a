#include "cli/terminal.h"

#include <atomic>
#include <cstdlib>
#include <cstring>
#include <fmt/format.h>
#include <poll.h>
#include <string_view>
#include <sys/ioctl.h>
#include <termios.h>
#include <thread>
#include <unistd.h>

namespace quaycell {

namespace {

// Control sequences of ECMA-48, and the two private ones that terminals share.
constexpr std::string_view take_window = "\033[?1049h\033[?25l\033[2J";
constexpr std::string_view give_window_back = "\033[0m\033[?25h\033[?1049l";

/// All that a signal handler can reach: it has to give the terminal back, too.
termios settings_before; // written before the flag is set
std::atomic<bool> window_taken{false};
std::atomic<bool> keys_taken{false};
static_assert(std::atomic<bool>::is_always_lock_free, "else a signal handler must not touch it");

bool write_whole(std::string_view text) {
    while (!text.empty()) {
        const ssize_t count = ::write(STDOUT_FILENO, text.data(), text.size());
        if (count < 0 && errno == EINTR) continue;
        if (count <= 0) return false;
        text.remove_prefix(static_cast<std::size_t>(count));
    }
    return true;
}

std::string_view colour_of(Tint tint) {
    switch (tint) {
    case Tint::plain:
        return "";
    case Tint::good:
        return "\033[32m";
    case Tint::bad:
        return "\033[1;31m";
    case Tint::doubtful:
        return "\033[33m";
    }
    return "";
}

} // namespace

bool Terminal::is_there() {
    const char* kind = std::getenv("TERM");
    return ::isatty(STDOUT_FILENO) != 0 && kind != nullptr && *kind != '\0' &&
           std::strcmp(kind, "dumb") != 0;
}

std::string Terminal::block() {
    for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) { // the first that is set decides
        const char* value = std::getenv(name);
        if (value == nullptr || *value == '\0') continue;
        const std::string_view locale = value;
        const bool utf8 = locale.find("UTF-8") != std::string_view::npos ||
                          locale.find("utf8") != std::string_view::npos;
        return utf8 ? "\xE2\x96\x88" : "#";
    }
    return "#";
}

Terminal::Terminal() {
    // https://no-color.org: set, and not to nothing.
    const char* no_colour = std::getenv("NO_COLOR");
    colour_ = no_colour == nullptr || *no_colour == '\0';
    if (::isatty(STDIN_FILENO) != 0 && ::tcgetattr(STDIN_FILENO, &settings_before) == 0) {
        termios settings = settings_before;
        settings.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);
        settings.c_iflag &= ~static_cast<tcflag_t>(IXON); // Ctrl-S would hold up the readings
        settings.c_cc[VMIN] = 0;
        settings.c_cc[VTIME] = 0;
        settings.c_cc[VSUSP] = _POSIX_VDISABLE; // Ctrl-Z would leave the window as it is here
        keys_taken = true;
        ::tcsetattr(STDIN_FILENO, TCSAFLUSH, &settings);
    }
    window_taken = true;
    open_ = write_whole(take_window);
}

Terminal::~Terminal() {
    give_back();
}

void Terminal::give_back() {
    if (window_taken.exchange(false)) write_whole(give_window_back);
    if (keys_taken.exchange(false)) ::tcsetattr(STDIN_FILENO, TCSAFLUSH, &settings_before);
}

ScreenSize Terminal::size() const {
    winsize size{};
    if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0 || size.ws_row == 0)
        return {};
    return {size.ws_col, size.ws_row};
}

void Terminal::draw(const std::vector<ScreenLine>& lines) {
    std::string text;
    const ScreenSize now = size();
    if (now != drawn_size_) {
        text = "\033[2J";
        drawn_.clear();
        drawn_size_ = now;
    }
    for (std::size_t row = 0; row < lines.size(); ++row) {
        if (row < drawn_.size() && drawn_[row] == lines[row]) continue;
        const std::string_view colour = colour_ ? colour_of(lines[row].tint) : "";
        text += fmt::format("\033[{};1H\033[K{}{}{}", row + 1, colour, lines[row].text,
                            colour.empty() ? "" : "\033[0m");
    }
    drawn_ = lines;
    if (!text.empty() && !write_whole(text)) open_ = false;
}

std::string Terminal::keys(int wait_ms) const {
    if (!keys_taken) {
        std::this_thread::sleep_for(std::chrono::milliseconds{wait_ms});
        return "";
    }
    pollfd watched{STDIN_FILENO, POLLIN, 0};
    if (::poll(&watched, 1, wait_ms) <= 0) return "";
    char bytes[256];
    const ssize_t count = ::read(STDIN_FILENO, bytes, sizeof bytes);
    // A window that was closed is ready at once for ever.
    if (count <= 0) std::this_thread::sleep_for(std::chrono::milliseconds{wait_ms});
    return count > 0 ? std::string(bytes, static_cast<std::size_t>(count)) : "";
}

} // namespace quaycell

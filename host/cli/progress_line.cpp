#include "cli/progress_line.h"

#include "base/time.h"

#include <fmt/format.h>
#include <iostream>
#include <unistd.h>

namespace quaycell {

ProgressLine::ProgressLine(std::string what, std::string unit)
    : what_(std::move(what)), unit_(std::move(unit)), on_terminal_(::isatty(STDERR_FILENO) != 0) {}

ProgressLine::~ProgressLine() {
    if (shown_) std::cerr << '\n';
}

void ProgressLine::show(std::uint64_t done, std::uint64_t total) {
    const auto now = Clock::now();
    const bool finished = done >= total;
    if (!on_terminal_ || (!finished && now - last_ < std::chrono::milliseconds{250})) return;
    last_ = now;
    shown_ = true;
    const double seconds = std::chrono::duration<double>(now - start_).count();
    const double per_second = seconds > 0 ? static_cast<double>(done) / seconds : 0;
    std::string left;
    if (!finished && per_second > 0)
        left = ", " +
               to_text(std::chrono::seconds{
                   static_cast<std::int64_t>(static_cast<double>(total - done) / per_second) + 1}) +
               " left";
    std::cerr << fmt::format("\r\033[K{}: {} of {} {}, {:.0f} a second{}", what_, done, total,
                             unit_, per_second, left)
              << std::flush;
}

} // namespace quaycell

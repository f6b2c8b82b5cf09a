#include "cli/progress_line.h"

#include "base/time.h"

#include <fmt/format.h>
#include <iostream>
#include <unistd.h>

namespace quaycell {

std::string progress_text(const std::string& what, std::uint64_t done, std::uint64_t total,
                          const std::string& unit, double seconds) {
    const double per_second = seconds > 0 ? static_cast<double>(done) / seconds : 0;
    std::string left;
    if (done < total && per_second > 0)
        left = ", " +
               to_text(std::chrono::seconds{
                   static_cast<std::int64_t>(static_cast<double>(total - done) / per_second) + 1}) +
               " left";
    return fmt::format("{}: {} of {} {}, {:.0f} a second{}", what, done, total, unit, per_second,
                       left);
}

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
    std::cerr << "\r\033[K" << progress_text(what_, done, total, unit_, seconds) << std::flush;
}

} // namespace quaycell

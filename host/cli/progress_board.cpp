#include "cli/progress_board.h"

#include "cli/progress_line.h"

#include <algorithm>
#include <fmt/format.h>
#include <iostream>
#include <sys/ioctl.h>
#include <unistd.h>
#include <utility>

namespace quaycell {

ProgressBoard::ProgressBoard(const std::vector<std::string>& names, std::string unit)
    : unit_(std::move(unit)), on_terminal_(::isatty(STDERR_FILENO) != 0) {
    for (const std::string& name : names)
        rows_.push_back({name});
}

void ProgressBoard::show(std::size_t row, std::uint64_t done, std::uint64_t total) {
    if (!on_terminal_) return;
    const std::scoped_lock lock(mutex_);
    rows_[row].done = done;
    rows_[row].total = total;
    const auto now = Clock::now();
    if (done < total && now - last_ < std::chrono::milliseconds{250}) return;
    last_ = now;
    draw();
}

void ProgressBoard::say(const std::string& words) {
    const std::scoped_lock lock(mutex_);
    const bool shown = drawn_ > 0;
    std::cerr << back_to_top() << words << '\n' << std::flush;
    if (shown) draw();
}

/// Goes where the first line stands, and empties the screen from there.
std::string ProgressBoard::back_to_top() {
    const std::size_t up = std::exchange(drawn_, 0);
    return up == 0 ? "" : fmt::format("\033[{}A\033[J", up);
}

std::vector<std::string> ProgressBoard::lines(std::size_t columns, bool one_each) const {
    const double seconds = std::chrono::duration<double>(Clock::now() - start_).count();
    std::vector<std::string> all;
    Row sum{fmt::format("{} at once", rows_.size())};
    for (const Row& row : rows_) {
        sum.done += row.done;
        sum.total += row.total;
        if (one_each) all.push_back(progress_text(row.name, row.done, row.total, unit_, seconds));
    }
    if (!one_each) all.push_back(progress_text(sum.name, sum.done, sum.total, unit_, seconds));
    for (std::string& line : all)
        line.resize(std::min(line.size(), columns)); // a line that wraps could not be gone back on
    return all;
}

void ProgressBoard::draw() {
    winsize size{};
    if (ioctl(STDERR_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_row == 0) size = {24, 80, 0, 0};
    std::string text = back_to_top();
    const auto all = lines(size.ws_col, rows_.size() < size.ws_row);
    for (const std::string& line : all)
        text += line + '\n';
    drawn_ = all.size();
    std::cerr << text << std::flush;
}

} // namespace quaycell

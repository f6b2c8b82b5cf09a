// Progress of several things at once, on standard error, and what has to be said meanwhile.
#pragma once

#include <chrono>
#include <cstdint>
#include <mutex>
#include <string>
#include <vector>

namespace quaycell {

/// A line for each, at most four times a second, where a person is looking (standard error is a
/// terminal); one line for all of them where the terminal has not so many. Any thread may call.
class ProgressBoard {
  public:
    /// `names` of what goes on, a row each; `unit` is what is counted: "records".
    ProgressBoard(const std::vector<std::string>& names, std::string unit);

    void show(std::size_t row, std::uint64_t done, std::uint64_t total);

    /// A line above the progress, that stays.
    void say(const std::string& words);

  private:
    using Clock = std::chrono::steady_clock;

    struct Row {
        std::string name;
        std::uint64_t done = 0;
        std::uint64_t total = 0;
    };

    std::vector<std::string> lines(std::size_t columns, bool one_each) const;
    void draw();
    std::string back_to_top();

    std::mutex mutex_;
    std::vector<Row> rows_;
    std::string unit_;
    bool on_terminal_;
    std::size_t drawn_ = 0; ///< lines on the screen now
    Clock::time_point start_ = Clock::now();
    Clock::time_point last_{};
};

} // namespace quaycell

// Progress of anything that takes longer than a second, on standard error.
#pragma once

#include <chrono>
#include <cstdint>
#include <string>

namespace quaycell {

/// "WHAT: 120 of 500 UNIT, 40 a second, 10 s left".
std::string progress_text(const std::string& what, std::uint64_t done, std::uint64_t total,
                          const std::string& unit, double seconds);

/// Shows how far something is, at most four times a second, on one line; only where a person is
/// looking (standard error is a terminal).
class ProgressLine {
  public:
    /// `what` is being done, `unit` is what is counted: "collecting", "records".
    ProgressLine(std::string what, std::string unit);
    /// Ends the line.
    ~ProgressLine();
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;

    void show(std::uint64_t done, std::uint64_t total);

  private:
    using Clock = std::chrono::steady_clock;

    std::string what_;
    std::string unit_;
    bool on_terminal_;
    bool shown_ = false;
    Clock::time_point start_ = Clock::now();
    Clock::time_point last_{};
};

} // namespace quaycell

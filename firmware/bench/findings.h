// What the firmware did that the simulated parts let pass but real ones would not.
#pragma once

#include <chrono>
#include <cstddef>
#include <string>
#include <vector>

namespace quaycell::bench {

/// Time of the simulated world, since the start of the scenario.
using Time = std::chrono::nanoseconds;

struct Finding {
    Time when;
    std::string what;
};

/// Kept by the board; every part adds to it. A test of the firmware fails when it is not empty.
class Findings {
  public:
    void add(Time when, std::string what) {
        ++count_;
        if (kept_.size() < most_kept) kept_.push_back({when, std::move(what)});
    }

    bool empty() const { return count_ == 0; }
    std::size_t count() const { return count_; }

    /// The first of them.
    const std::vector<Finding>& kept() const { return kept_; }

    /// One line each, for a person; empty when there are none.
    std::string to_text() const;

  private:
    // A firmware that errs in a loop would otherwise fill the memory.
    static constexpr std::size_t most_kept = 50;
    std::vector<Finding> kept_;
    std::size_t count_ = 0;
};

} // namespace quaycell::bench

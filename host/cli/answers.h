// What a person, or a script in their place, answers on standard input.
#pragma once

#include "base/result.h"

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace quaycell {

/// Lines of standard input, one at a time, while Ctrl-C stays a wish that is looked at.
class Answers {
  public:
    /// The next line, without its end and without blanks round it; nothing at the end of the input.
    /// Error: interrupted.
    Result<std::optional<std::string>> next();

    /// The next line if it is there already and is one of these; does not wait. What a person types
    /// meanwhile and is none of these does not count: it would be taken for the answer to what is
    /// asked next. A script's lines wait.
    std::optional<std::string> next_if(std::initializer_list<std::string_view> wanted);

    /// What a person has typed before something is asked does not count either.
    void forget_typed_ahead() { next_if({}); }

    /// Lines that did not count and were more than Enter, since this was last asked.
    std::vector<std::string> passed_over() { return std::exchange(passed_over_, {}); }

  private:
    void take_bytes(int wait_ms);
    std::optional<std::string> first_line() const;
    void drop_line();

    std::string pending_;
    bool ended_ = false;
    std::vector<std::string> passed_over_;
};

} // namespace quaycell

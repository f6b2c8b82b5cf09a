// What a person, or a script in their place, answers on standard input.
#pragma once

#include "base/result.h"

#include <optional>
#include <string>

namespace quaycell {

/// Lines of standard input, one at a time, while Ctrl-C stays a wish that is looked at.
class Answers {
  public:
    /// The next line, without its end and without blanks round it; nothing at the end of the input.
    /// Error: interrupted.
    Result<std::optional<std::string>> next();

  private:
    std::string pending_;
    bool ended_ = false;
};

} // namespace quaycell

// The log has broken its promise; what() says how.
#pragma once

#include <stdexcept>

namespace quaycell::powerloss {

class Failure : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

} // namespace quaycell::powerloss

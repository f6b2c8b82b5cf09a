// Whether every bit of the converter has been seen in both states.
#pragma once

#include <cstdint>
#include <vector>

namespace quaycell {

class BitsSeen {
  public:
    void take(std::int16_t code);
    void take(const BitsSeen& more);

    /// The bits that were never another than they are, the lowest is 0; all sixteen before the
    /// first code.
    std::vector<int> stuck() const;

  private:
    std::uint16_t ones_ = 0;
    std::uint16_t zeros_ = 0;
};

} // namespace quaycell

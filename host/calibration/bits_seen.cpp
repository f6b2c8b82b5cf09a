#include "calibration/bits_seen.h"

namespace quaycell {

void BitsSeen::take(std::int16_t code) {
    const auto bits = static_cast<std::uint16_t>(code);
    ones_ = static_cast<std::uint16_t>(ones_ | bits);
    zeros_ = static_cast<std::uint16_t>(zeros_ | static_cast<std::uint16_t>(~bits));
}

void BitsSeen::take(const BitsSeen& more) {
    ones_ = static_cast<std::uint16_t>(ones_ | more.ones_);
    zeros_ = static_cast<std::uint16_t>(zeros_ | more.zeros_);
}

std::vector<int> BitsSeen::stuck() const {
    constexpr int bits = 16;
    std::vector<int> never;
    for (int bit = 0; bit < bits; ++bit)
        if (((ones_ & zeros_) >> bit & 1) == 0) never.push_back(bit);
    return never;
}

} // namespace quaycell

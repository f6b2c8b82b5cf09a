// What the stimulus last found at each cell.
#pragma once

#include "logger/profile.h"

namespace quaycell {
namespace logger {

class LeadWatch {
  public:
    explicit constexpr LeadWatch(const wire::Circuit& circuit)
        : drying_(response_code(circuit, circuit.stimulus_drying_mv)),
          not_good_(response_code(circuit, circuit.stimulus_not_good_mv)) {}

    void saw_a(uint8_t code) { a_ = code; }
    void saw_b(uint8_t code) { b_ = code; }

    /// missing_byte before the first look.
    uint8_t a() const { return a_; }
    uint8_t b() const { return b_; }

    /// Not where the stimulus found nothing connected.
    bool b_may_be_there() const { return b_ == wire::missing_byte || b_ < not_good_; }

    /// For Reading::flags.
    uint16_t flags() const {
        return static_cast<uint16_t>(flag(a_, wire::flag_drying_a, wire::flag_not_good_a) |
                                     flag(b_, wire::flag_drying_b, wire::flag_not_good_b));
    }

  private:
    uint16_t flag(uint8_t code, uint16_t drying, uint16_t not_good) const {
        if (code == wire::missing_byte || code < drying_) return 0;
        return code < not_good_ ? drying : not_good;
    }

    const uint8_t drying_;
    const uint8_t not_good_;
    uint8_t a_ = wire::missing_byte;
    uint8_t b_ = wire::missing_byte;
};

} // namespace logger
} // namespace quaycell

// How long the interrupt handlers take, from the call to the end of their RETI.
#pragma once

#include "bench/mcu/core.h"

namespace quaycell::bench {

struct LongestInterrupt {
    std::uint32_t vector = 0; ///< 0: none has run yet
    std::uint64_t cycles = 0;
};

class InterruptWatch {
  public:
    explicit InterruptWatch(Core& core);
    InterruptWatch(const InterruptWatch&) = delete;
    InterruptWatch& operator=(const InterruptWatch&) = delete;

    const LongestInterrupt& longest() const { return longest_; }

  private:
    static void changed(avr_irq_t*, std::uint32_t vector, void* self);

    Core& core_;
    std::uint32_t running_ = 0;
    std::uint64_t since_ = 0;
    LongestInterrupt longest_;
};

} // namespace quaycell::bench

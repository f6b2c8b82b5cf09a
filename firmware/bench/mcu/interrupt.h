// One interrupt source. The peripheral keeps its flag in the register; this asks the core to serve
// it while flag and enable bit stand, whichever came first (the simulator only notices the flag).
#pragma once

#include "bench/mcu/core.h"

#include <sim_avr.h>

#include <optional>

namespace quaycell::bench {

class Interrupt {
  public:
    /// With `cleared_by_serving` the flag falls when the handler starts; without, when the
    /// peripheral has been served.
    Interrupt(Core& core, std::uint8_t number, Bit enable,
              std::optional<Bit> cleared_by_serving = {})
        : core_(core) {
        vector_.vector = number;
        vector_.enable = to_regbit(enable);
        if (cleared_by_serving) vector_.raised = to_regbit(*cleared_by_serving);
        avr_register_vector(core_.simulator(), &vector_);
    }
    Interrupt(const Interrupt&) = delete;
    Interrupt& operator=(const Interrupt&) = delete;

    void refresh(bool flag) {
        if (flag && avr_regbit_get(core_.simulator(), vector_.enable) != 0)
            avr_raise_interrupt(core_.simulator(), &vector_);
        else if (!flag)
            vector_.pending = 0;
    }

  private:
    static avr_regbit_t to_regbit(Bit bit) {
        avr_regbit_t regbit{};
        regbit.reg = bit.address & 0x1FFU;
        regbit.bit = bit.number & 7U;
        regbit.mask = 1;
        return regbit;
    }

    Core& core_;
    avr_int_vector_t vector_{};
};

} // namespace quaycell::bench

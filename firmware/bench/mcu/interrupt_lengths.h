// The longest run of every interrupt service routine: while one runs, nothing else is served.
#pragma once

#include "bench/mcu/core.h"

#include <map>

struct avr_irq_t;

namespace quaycell::bench {

class InterruptLengths : private Peripheral {
  public:
    struct Routine {
        std::uint64_t runs = 0;
        std::uint64_t longest =
            0; ///< from its request being granted to back where it was, [cycles]
    };

    explicit InterruptLengths(Core& core);

    /// By vector number, those that have run.
    const std::map<unsigned, Routine>& routines() const { return routines_; }

  private:
    void reset() override { running_.clear(); }
    static void changed(avr_irq_t*, std::uint32_t vector, void* self);
    void changed(unsigned vector);

    Core& core_;
    std::map<unsigned, Routine> routines_;
    struct Running {
        unsigned vector;
        std::uint64_t since;
    };
    std::vector<Running> running_; ///< as the simulator's own list, the innermost last
};

/// The data sheet's name of a vector.
std::string vector_name(unsigned vector);

/// One line of JSON: an array of {"vector","name","runs","longest_cycles","longest_us"}.
std::string to_json(const std::map<unsigned, InterruptLengths::Routine>& routines);

} // namespace quaycell::bench

// Ports B, C and D with their pin change interrupts.
#pragma once

#include "bench/mcu/interrupt.h"
#include "board/pins.h"

namespace quaycell::bench {

class Gpio : public Peripheral {
  public:
    explicit Gpio(Core& core);

    /// The level that the board gives a pin while the firmware does not drive it.
    void drive(board::Pin pin, bool high);
    /// Called with the new level of a pin, whoever changes it; a pin may have several listeners.
    void on_change(board::Pin pin, std::function<void(bool)> changed);
    bool level(board::Pin pin) const;

    void reset() override;
    void refresh() override;

  private:
    struct Port {
        std::uint16_t pin, direction, output, mask;
        std::uint8_t driven = 0;       ///< bits with a level from outside
        std::uint8_t driven_level = 0; ///< and which
        std::uint8_t level = 0;
        std::array<std::vector<std::function<void(bool)>>, 8> changed;
    };

    static std::size_t index_of(board::Pin pin) { return static_cast<std::size_t>(pin.port - 'B'); }
    std::uint8_t level_of(const Port& port) const;
    void update(std::size_t index);

    Core& core_;
    std::array<Port, 3> ports_;
    Interrupt change_b_, change_c_, change_d_;
};

} // namespace quaycell::bench

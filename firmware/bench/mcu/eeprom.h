// EEPROM with the time that a write takes; its contents survive a power cut, a torn byte does not.
#pragma once

#include "bench/mcu/cycle_timer.h"
#include "bench/mcu/interrupt.h"

#include <span>

namespace quaycell::bench {

class Eeprom : public Peripheral {
  public:
    static constexpr std::size_t size = 1024;

    explicit Eeprom(Core& core);

    std::span<std::uint8_t, size> bytes() { return bytes_; }
    /// The supply goes: a byte being written is left as chance has it.
    void cut(std::uint64_t seed);

    /// No write ends.
    void seize(bool seized) { seized_ = seized; }

    void reset() override;
    void refresh() override;
    void sleeping(SleepMode mode) override;

  private:
    void control(std::uint8_t value);
    void written();
    std::size_t address() const;

    Core& core_;
    Interrupt interrupt_;
    CycleTimer write_, window_;
    std::array<std::uint8_t, size> bytes_;
    std::size_t writing_at_ = 0;
    std::uint8_t result_ = 0;
    bool seized_ = false;
};

} // namespace quaycell::bench

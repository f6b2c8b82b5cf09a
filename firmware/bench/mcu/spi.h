// SPI as master, with one chip on it.
#pragma once

#include "bench/mcu/cycle_timer.h"
#include "bench/mcu/interrupt.h"

namespace quaycell::bench {

class Spi : public Peripheral {
  public:
    /// `exchange` is given the byte sent and returns the byte that came back.
    Spi(Core& core, std::function<std::uint8_t(std::uint8_t)> exchange);

    bool busy() const { return timer_.running(); }

    /// What is sent never arrives, and its flag never comes.
    void seize(bool seized) { seized_ = seized; }

    void reset() override;
    void refresh() override;
    void sleeping(SleepMode mode) override;

  private:
    void send(std::uint8_t byte);
    void done();
    void flag_read_then_data();

    Core& core_;
    std::function<std::uint8_t(std::uint8_t)> exchange_;
    Interrupt interrupt_;
    CycleTimer timer_;
    bool seized_ = false;
    std::uint8_t sending_ = 0;
    std::uint8_t received_ = 0;
    bool flag_seen_ = false; ///< SPSR was read with SPIF set: the next access to SPDR clears it
};

} // namespace quaycell::bench

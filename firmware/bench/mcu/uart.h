// The serial line to the isolator: eight bits, no parity, one stop bit.
#pragma once

#include "bench/mcu/cycle_timer.h"
#include "bench/mcu/interrupt.h"

namespace quaycell::bench {

class Uart : public Peripheral {
  public:
    /// `sent` gets each byte when its stop bit has gone; `line` is told the level of RXD.
    Uart(Core& core, std::function<void(std::uint8_t)> sent, std::function<void(bool)> line);

    /// The speed of the host's end. Where it is another than that of this end, each hears what the
    /// other's bits look like at its own speed.
    void set_host_baud(std::uint32_t baud);
    /// One byte from the host, whose start bit begins now; the caller keeps them a byte apart.
    void receive(std::uint8_t byte);
    /// At the host's speed.
    std::uint64_t host_byte_cycles() const;
    bool sending() const { return transmit_.running(); }

    void reset() override;
    void refresh() override;
    void sleeping(SleepMode mode) override;

  private:
    void write_data(std::uint8_t byte);
    void shift_out(std::uint8_t byte);
    void byte_sent();
    void byte_received();
    std::uint8_t read_data();
    void check_speed() const;
    std::uint64_t bit_cycles() const;

    Core& core_;
    std::function<void(std::uint8_t)> sent_;
    std::function<void(bool)> line_;
    Interrupt received_interrupt_, empty_interrupt_, sent_interrupt_;
    CycleTimer transmit_, arrive_;
    std::uint64_t host_bit_cycles_;
    std::uint8_t shifting_ = 0;
    std::uint8_t waiting_ = 0; ///< behind the one that is shifting, when UDRE is clear
    std::uint8_t arriving_ = 0;
    bool heard_start_ = false;
    std::deque<std::uint8_t> received_; ///< two buffers and the shift register
};

} // namespace quaycell::bench

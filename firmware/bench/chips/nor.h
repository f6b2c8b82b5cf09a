// The SPI NOR flash: what it stores, how long it takes, and what it does not forgive.
#pragma once

#include "bench/findings.h"

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <vector>

namespace quaycell::bench {

/// How long it has been in each state that draws a current of its own.
struct NorTime {
    Time programming{}, erasing{};
    Time selected{}; ///< a command is being shifted in or out
    Time standby{};
    Time deep_power_down{};
};

/// Whether the chip is there for the controller.
enum class NorState {
    ok,
    absent, ///< without supply: the pull-up of the bus answers
    dumb,   ///< answers zeros and does nothing, whatever it is told
};

/// A sector that wear has taken something from.
struct WornSector {
    enum class What { erase, program };
    What what; ///< changes nothing there
    std::uint32_t sector;
};

class Nor {
  public:
    static constexpr std::uint32_t page_size = 256, sector_size = 4096;

    /// `megabytes`: 2, 4, 8 or 16. It says so in its id unless it is told otherwise.
    /// `erase_time`: of each sector; 45 ms is typical, 400 the most, by data sheets (from memory).
    Nor(unsigned megabytes, Findings& findings, std::vector<WornSector> worn = {},
        Time erase_time = std::chrono::milliseconds{45});

    /// The select line, low active.
    void select(bool low, Time now);
    /// A byte each way while selected.
    std::uint8_t exchange(std::uint8_t sent, Time now);

    /// The supply goes: a program or erase under way stops in the middle. Some bits are left
    /// between 0 and 1: they read one way or the other, each time anew, until they are programmed
    /// or erased.
    void cut(Time now, std::uint64_t seed);
    /// The third byte of its id, the capacity as a power of two.
    void tell_capacity(std::uint8_t code) { capacity_code_ = code; }
    /// As after its supply came back.
    void power_on(Time now);
    /// From now on. One whose supply goes is cut(); one that has been absent comes back as after
    /// power_on().
    void become(NorState state, Time now, std::uint64_t seed);

    /// Bits between 0 and 1 stand as 1.
    std::span<const std::uint8_t> image() const { return image_; }
    std::span<std::uint8_t> image() { return image_; }
    /// Until `now`, which is not before any command.
    NorTime time(Time now) const;
    std::uint64_t programs() const { return programs_; }
    std::uint64_t erases() const { return erases_; }

  private:
    struct Operation {
        bool erase;
        std::uint32_t address; ///< of the page or sector
        std::vector<std::uint8_t> target;
        Time from, until;
    };

    bool is_worn(WornSector::What what, std::uint32_t address) const;
    void begin_command(std::uint8_t opcode, Time now);
    std::uint8_t take_byte(std::uint8_t sent);
    void commit(Time now);
    void begin_program(Time now);
    void begin_erase(Time now);
    /// Accounts for the time until `now`; to be called before the state changes.
    void pass(Time now) {
        time_ = time(now);
        timed_until_ = now;
    }
    /// Puts the result of an operation that is done by `now` into the image.
    void settle(Time now);
    std::uint8_t read(std::size_t at);

    Findings& findings_;
    std::vector<WornSector> worn_;
    Time erase_time_;
    NorState state_ = NorState::ok;
    std::uint8_t capacity_code_;
    std::vector<std::uint8_t> image_;
    std::map<std::size_t, std::uint8_t> unstable_; ///< masks of bits between 0 and 1, by address
    std::uint64_t unstable_reads_ = 0;
    std::optional<Operation> operation_;
    std::optional<Time> awake_from_; ///< after a release from deep power-down
    bool selected_ = false;
    bool write_enabled_ = false;
    bool deep_power_down_ = false;
    bool rejected_ = false; ///< the command under way is not carried out
    std::uint8_t opcode_ = 0;
    std::uint32_t byte_ = 0; ///< of the command
    std::uint32_t address_ = 0;
    std::vector<std::uint8_t> page_; ///< data of a page program, as sent
    std::uint64_t programs_ = 0, erases_ = 0;
    NorTime time_;
    Time timed_until_{0}; ///< what time_ covers
};

} // namespace quaycell::bench

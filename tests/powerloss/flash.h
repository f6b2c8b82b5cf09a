// The flash as the log sees it. It forgives nothing that a real one would not, and tells of each
// operation before it carries it out: that is the instant at which the power is cut.
#pragma once

#include "cells.h"
#include "failure.h"

#include <functional>

namespace quaycell::powerloss {

class Flash {
  public:
    using Observer = std::function<void(const Operation&)>;

    /// `observer` may be empty; it is called with the cells as they are before the operation.
    Flash(Cells& cells, Observer observer) : cells_(cells), observer_(std::move(observer)) {}

    std::uint16_t sector_count() const { return sectors; }

    bool busy() {
        if (busy_polls_ == 0) return false;
        --busy_polls_;
        return true;
    }

    void read(std::uint32_t address, std::uint8_t* bytes, std::uint16_t count) {
        if (busy_polls_ != 0) throw Failure("reads while the flash is busy");
        cells_.read(address, bytes, count);
    }

    void program(std::uint32_t address, const std::uint8_t* bytes, std::uint8_t count) {
        if (busy_polls_ != 0) throw Failure("programs while the flash is busy");
        if (count != wire::record_size || address % wire::record_size != 0)
            throw Failure("programs what is no slot");
        if (!cells_.blank(address, count)) throw Failure("programs a slot that is not erased");
        Operation operation{false, address, {}};
        std::copy_n(bytes, count, operation.data.begin());
        if (observer_) observer_(operation);
        cells_.program(operation);
    }

    void start_erase(std::uint32_t address) {
        if (busy_polls_ != 0) throw Failure("erases while the flash is busy");
        if (address % sector_size != 0) throw Failure("erases what is no sector");
        if (observer_) observer_({true, address, {}});
        cells_.erase(address);
        busy_polls_ = erase_polls;
    }

  private:
    static constexpr unsigned erase_polls = 3; ///< any number but 0

    Cells& cells_;
    Observer observer_;
    unsigned busy_polls_ = 0;
};

} // namespace quaycell::powerloss

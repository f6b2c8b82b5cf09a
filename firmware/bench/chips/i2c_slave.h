// What a chip on the two-wire bus does, byte by byte.
#pragma once

#include "bench/findings.h"

#include <cstdint>

namespace quaycell::bench {

class I2cSlave {
  public:
    I2cSlave() = default;
    I2cSlave(const I2cSlave&) = delete;
    I2cSlave& operator=(const I2cSlave&) = delete;
    virtual ~I2cSlave() = default;

    /// Addressed after a start or a repeated start.
    virtual void begin(bool read, Time now) = 0;
    /// True to acknowledge.
    virtual bool write(std::uint8_t byte, Time now) = 0;
    virtual std::uint8_t read(Time now) = 0;
    /// A stop, or another start.
    virtual void end(Time now) = 0;
};

} // namespace quaycell::bench

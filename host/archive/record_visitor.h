// Who looks at the records of an archive, of which there may be tens of millions.
#pragma once

#include <cstdint>
#include <span>

namespace quaycell {

class RecordVisitor {
  public:
    /// Some whole records of a logger, one behind another. A logger's come by boot and sequence.
    virtual void see(std::uint32_t device, std::span<const std::uint8_t> records) = 0;

    /// What was seen so far does not count: all come again.
    virtual void begin_again() = 0;

  protected:
    ~RecordVisitor() = default;
};

} // namespace quaycell

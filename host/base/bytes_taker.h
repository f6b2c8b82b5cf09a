// Who is given the bytes that are read, as they are and on the way.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <span>

namespace quaycell {

class BytesTaker {
  public:
    virtual ~BytesTaker() = default;

    /// The next of one file.
    virtual void take(std::span<const std::uint8_t> bytes) = 0;
};

/// Makes one for each file that begins; none where nobody asks for the bytes.
using MakeBytesTaker = std::function<std::shared_ptr<BytesTaker>()>;

} // namespace quaycell

// Bytes that are taken by a thread of their own, so that they are summed and written while others
// are read.
#pragma once

#include "base/aside.h"

#include <cstdint>
#include <functional>
#include <span>
#include <string>

namespace quaycell {

class BytesAside {
  public:
    using Take = std::function<void(std::string& piece)>;

    /// `take` gets all that is given, in order and in pieces of any size, by one thread at a time.
    /// It may move a piece away and leave another one's memory in its place.
    explicit BytesAside(Take take);

    void give(std::span<const std::uint8_t> bytes);

    /// Returns when all has been taken; then nothing more can be given.
    void finish();

  private:
    Take take_;
    std::string next_; ///< a piece that is not full yet
    Aside<std::string> aside_;
};

} // namespace quaycell

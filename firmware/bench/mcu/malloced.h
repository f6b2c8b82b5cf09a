// Memory that libsimavr allocated with malloc and leaves to its user.
#pragma once

#include <cstdlib>
#include <memory>

namespace quaycell::bench {

struct FreeMalloced {
    void operator()(void* memory) const {
        std::free(memory); // NOLINT(cppcoreguidelines-no-malloc,cppcoreguidelines-owning-memory)
    }
};

template <typename Thing>
using Malloced = std::unique_ptr<Thing, FreeMalloced>;

} // namespace quaycell::bench

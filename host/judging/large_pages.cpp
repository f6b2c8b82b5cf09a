#include "judging/large_pages.h"

#include <cstdint>
#include <sys/mman.h>
#include <unistd.h>

namespace quaycell {

void prefer_large_pages(const void* memory, std::size_t bytes) {
    const auto page = static_cast<std::uintptr_t>(sysconf(_SC_PAGESIZE));
    const auto begin = reinterpret_cast<std::uintptr_t>(memory);
    const std::uintptr_t first = (begin + page - 1) / page * page;
    const std::uintptr_t end = (begin + bytes) / page * page;
    if (first < end)
        static_cast<void>(madvise(reinterpret_cast<void*>(first), end - first, MADV_HUGEPAGE));
}

} // namespace quaycell

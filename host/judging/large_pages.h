// Memory that is about to be filled in one go.
#pragma once

#include <cstddef>

namespace quaycell {

/// Asks the system to back so many bytes, of which none has been touched yet, with large pages: to
/// fill hundreds of megabytes then takes far fewer page faults. A wish that may be ignored.
void prefer_large_pages(const void* memory, std::size_t bytes);

} // namespace quaycell

#include "judging/device_name.h"

#include <fmt/format.h>

namespace quaycell {

std::string device_name(std::uint32_t device_id) {
    return fmt::format("{:08x}", device_id);
}

} // namespace quaycell

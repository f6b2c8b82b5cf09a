// What a logger is called.
#pragma once

#include <cstdint>
#include <string>

namespace quaycell {

/// Its number in hexadecimal, as on its label.
std::string device_name(std::uint32_t device_id);

} // namespace quaycell

// What the logger asks of the cell converter.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace logger {

enum class Input : uint8_t {
    cell_a, ///< cell A against COM
    cell_b,
    zero,      ///< COM against itself
    reference, ///< COM against ground
};

enum class Conversion : uint8_t { running, done, failed };

} // namespace logger
} // namespace quaycell

#include "vessel/hull_place.h"

#include <array>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr std::array sides{HullSide::port, HullSide::centre, HullSide::starboard};

}

std::string_view name_of(HullSide side) {
    constexpr std::array<std::string_view, 3> names{"port", "centre", "starboard"};
    return names.at(static_cast<std::size_t>(side));
}

Result<HullSide> hull_side_named(std::string_view name) {
    for (const HullSide side : sides)
        if (name_of(side) == name) return side;
    return Error{ErrorCode::wrong_usage, fmt::format("\"{}\" is no side of a hull", name), "",
                 "Use port, centre or starboard"};
}

} // namespace quaycell

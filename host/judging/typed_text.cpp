#include "judging/typed_text.h"

#include "chart/text.h"

#include <fmt/format.h>

namespace quaycell {

std::optional<Error> not_a_line(std::string_view typed, const std::string& option) {
    const std::string shown = clean_text(typed);
    if (shown == typed) return std::nullopt;
    return Error{ErrorCode::wrong_usage,
                 fmt::format("\"{}\" is not one line of text in UTF-8", shown), option,
                 "Write it in a terminal that is set to UTF-8, without control characters."};
}

} // namespace quaycell

// Rules of practice that the diagnosis of a trace goes by, with what stands behind each.
#pragma once

#include <span>
#include <string_view>

namespace quaycell {

struct PracticeRule {
    std::string_view id;
    double value;
    std::string_view unit;
    std::string_view says;
    std::string_view source;
    std::string_view status; ///< in words: "read", "from memory", "our judgement"
};

std::span<const PracticeRule> practice_rules();

/// The value of a rule that has to exist.
double practice(std::string_view id);

} // namespace quaycell

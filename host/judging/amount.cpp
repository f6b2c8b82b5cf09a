#include "judging/amount.h"

#include "base/rounding.h"

#include <algorithm>
#include <boost/json.hpp>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <string_view>

namespace quaycell {

namespace {

std::optional<double> number_in(std::string_view text) {
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    if (!std::isfinite(value) || value < 0) return std::nullopt;
    return value;
}

bool is_one(Range amount) {
    constexpr double rounding = 1e-12;
    return std::isfinite(amount.high) &&
           std::abs(amount.high - amount.low) <= rounding * std::abs(amount.high);
}

boost::json::value finite(double value) {
    if (!std::isfinite(value)) return nullptr;
    return value;
}

} // namespace

Result<Range> amount_from(const std::string& typed, const std::string& option) {
    const Error wrong{ErrorCode::wrong_usage, fmt::format("\"{}\" is no amount", typed), option,
                      "Write a number, or two with a dash between: 15 or 15-25"};
    if (const auto one = number_in(typed)) return Range{*one, *one};
    // Behind the first digit, so that neither a sign nor that of an exponent is taken for it.
    for (std::size_t dash = typed.find('-', 1); dash != std::string::npos;
         dash = typed.find('-', dash + 1)) {
        const auto low = number_in(std::string_view(typed).substr(0, dash));
        const auto high = number_in(std::string_view(typed).substr(dash + 1));
        if (low && high && *low <= *high) return Range{*low, *high};
    }
    return wrong;
}

Result<double> box_m3_from(const std::string& typed, const std::string& option) {
    double volume_m3 = 1;
    int measures = 0;
    for (std::string_view rest = typed; ++measures <= 3;) {
        const std::size_t end = std::min(rest.find('x'), rest.size());
        const auto measure_m = number_in(rest.substr(0, end));
        if (!measure_m || *measure_m == 0) break;
        volume_m3 *= *measure_m;
        if (end == rest.size() && measures == 3) return volume_m3;
        if (end == rest.size()) break;
        rest.remove_prefix(end + 1);
    }
    return Error{ErrorCode::wrong_usage,
                 fmt::format("\"{}\" is no length, width and thickness", typed), option,
                 "Write metres with an x between: 0.30x0.15x0.04"};
}

boost::json::value amount_json(Range amount) {
    if (is_one(amount)) return finite(amount.low);
    return {{"low", finite(amount.low)}, {"high", finite(amount.high)}};
}

std::string amount_text(Range amount, int digits) {
    if (is_one(amount)) return significant_text(amount.low, digits);
    if (std::isinf(amount.high)) return significant_text(amount.low, digits) + " or more";
    return significant_text(amount.low, digits) + " to " + significant_text(amount.high, digits);
}

} // namespace quaycell

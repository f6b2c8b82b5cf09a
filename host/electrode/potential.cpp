#include "electrode/potential.h"

#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <system_error>

namespace quaycell {
namespace {

constexpr double largest_mv = 5000; // more than any metal, any cell or any wrong lead can show

} // namespace

Result<double> parse_potential_mv(std::string_view text) {
    const auto refused = [text](std::string_view why) {
        return Error{ErrorCode::wrong_usage,
                     fmt::format("\"{}\" is not a potential: {}", text, why), "",
                     "Write it as -870, -870mV or -0.87V"};
    };
    std::string_view number = text;
    double to_mv = 1;
    if (number.ends_with("mV")) {
        number.remove_suffix(2);
    } else if (number.ends_with('V')) {
        number.remove_suffix(1);
        to_mv = 1000;
    }
    while (number.ends_with(' '))
        number.remove_suffix(1);
    if (number.size() > 1 && number.front() == '+' && number[1] != '-') number.remove_prefix(1);

    double value = 0;
    const char* const end = number.data() + number.size();
    const auto [stopped_at, failure] = std::from_chars(number.data(), end, value);
    if (failure != std::errc{} || stopped_at != end)
        return refused("a number with an optional mV or V is expected");
    if (!std::isfinite(value)) return refused("it is not finite");
    const double potential_mv = value * to_mv;
    if (std::abs(potential_mv) > largest_mv)
        return refused(fmt::format("it is beyond {} V", largest_mv / 1000));
    return potential_mv;
}

bool looks_like_volts(double potential_mv) {
    return potential_mv != 0 && std::abs(potential_mv) < 2;
}

} // namespace quaycell

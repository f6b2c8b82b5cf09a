#include "electrode/potential.h"

#include <cctype>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <system_error>

namespace quaycell {
namespace {

constexpr double largest_mv = 5000; // more than any metal, any cell or any wrong lead can show

constexpr std::string_view printed_minus = "\u2212";

std::string with_keyboard_minus(std::string_view text) {
    if (!text.starts_with(printed_minus)) return std::string(text);
    return '-' + std::string(text.substr(printed_minus.size()));
}

/// Takes a letter off the end, whatever its case.
bool takes_off(std::string_view& text, char lower) {
    if (text.empty() || std::tolower(static_cast<unsigned char>(text.back())) != lower)
        return false;
    text.remove_suffix(1);
    return true;
}

} // namespace

Result<double> parse_potential_mv(std::string_view text) {
    const auto refused = [text](std::string_view why) {
        return Error{ErrorCode::wrong_usage,
                     fmt::format("\"{}\" is not a potential: {}", text, why), "",
                     "Write it as -870, -870mV or -0.87V"};
    };
    const std::string typed = with_keyboard_minus(text);
    std::string_view number = typed;
    double to_mv = 1;
    if (takes_off(number, 'v')) to_mv = takes_off(number, 'm') ? 1 : 1000;
    while (number.ends_with(' '))
        number.remove_suffix(1);
    if (number.size() > 1 && number.front() == '+' && number[1] != '-') number.remove_prefix(1);

    double value = 0;
    const char* const end = number.data() + number.size();
    const auto [stopped_at, failure] = std::from_chars(number.data(), end, value);
    if (failure != std::errc{} || stopped_at != end)
        return refused("a number with an optional mV or V is expected");
    if (!std::isfinite(value)) return refused("it is not finite");
    const double potential_mv = value * to_mv + 0.0; // -0 is 0
    if (std::abs(potential_mv) > largest_mv)
        return refused(fmt::format("it is beyond {} V", largest_mv / 1000));
    return potential_mv;
}

bool looks_like_volts(double potential_mv) {
    return potential_mv != 0 && std::abs(potential_mv) < 2;
}

} // namespace quaycell

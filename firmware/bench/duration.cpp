#include "bench/duration.h"

#include <array>
#include <charconv>
#include <cmath>

namespace quaycell::bench {

namespace {

struct Unit {
    std::string_view name;
    double seconds;
};
constexpr std::array<Unit, 5> units{{{"", 1}, {"s", 1}, {"min", 60}, {"h", 3600}, {"d", 86400}}};
// A century: more would overflow the world's clock.
constexpr double longest_s = 100 * 365.25 * 86400;

} // namespace

std::optional<Time> parse_duration(std::string_view text) {
    if (text.empty()) return std::nullopt;
    double seconds = 0;
    while (!text.empty()) {
        double number = 0;
        const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
        if (error != std::errc{} || !(number >= 0)) return std::nullopt;
        text.remove_prefix(static_cast<std::size_t>(end - text.data()));
        const std::string_view name = text.substr(0, text.find_first_of("0123456789."));
        const Unit* unit = nullptr;
        for (const Unit& known : units)
            if (known.name == name) unit = &known;
        if (unit == nullptr) return std::nullopt;
        text.remove_prefix(name.size());
        seconds += number * unit->seconds;
    }
    if (seconds > longest_s) return std::nullopt;
    return Time{static_cast<std::int64_t>(std::llround(seconds * 1e9))};
}

} // namespace quaycell::bench

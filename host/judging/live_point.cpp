#include "judging/live_point.h"

#include "series/running_state.h"

#include <algorithm>
#include <cmath>
#include <cstring>

namespace quaycell {

bool shows_the_metal(const wire::LiveReading& live, const LoggerFacts& facts) {
    return !has(Conversion(facts).quality(live.reading),
                Quality::saturated | Quality::converter_fault | Quality::unsettled |
                    Quality::lead_not_good);
}

bool only_catches_up(Quality quality) {
    return has(quality, Quality::unsettled) &&
           !has(quality, Quality::saturated | Quality::converter_fault | Quality::lead_not_good);
}

std::optional<LivePoint> point_of(std::span<const wire::LiveReading> readings,
                                  const LoggerFacts& facts) {
    if (readings.empty()) return std::nullopt;
    const Conversion conversion(facts);
    RunningState state(conversion);
    std::vector<double> potentials_mv;
    LivePoint point{};
    for (const wire::LiveReading& live : readings) {
        state.take(live);
        potentials_mv.push_back(conversion.cell_a_mv(live.reading, state.now()));
        // The cell's resistance makes no difference to AC of a size that matters.
        const double ac_mv = conversion.ac_mv(live.reading, 0);
        if (!std::isnan(ac_mv)) point.ac_mv = std::max(point.ac_mv.value_or(0), ac_mv);
        const double temperature_c = conversion.temperature_c(live.reading);
        if (!std::isnan(temperature_c)) point.temperature_c = temperature_c;
    }
    point.value = value_of(potentials_mv);
    return point;
}

std::vector<std::uint8_t> to_bytes(std::span<const wire::LiveReading> readings) {
    std::vector<std::uint8_t> bytes(readings.size_bytes());
    if (!bytes.empty()) std::memcpy(bytes.data(), readings.data(), bytes.size());
    return bytes;
}

std::vector<wire::LiveReading> live_readings_in(std::span<const std::uint8_t> bytes) {
    if (bytes.size() % sizeof(wire::LiveReading) != 0) return {};
    std::vector<wire::LiveReading> readings(bytes.size() / sizeof(wire::LiveReading));
    if (!bytes.empty()) std::memcpy(readings.data(), bytes.data(), bytes.size());
    return readings;
}

} // namespace quaycell

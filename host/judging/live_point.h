// The reading at a point of a survey, from what a logger sent while the clip was there.
#pragma once

#include "series/logger_facts.h"
#include "survey/settled.h"

#include <optional>
#include <span>
#include <vector>

namespace quaycell {

/// Of live readings one after another.
struct LivePoint {
    PointValue value;
    std::optional<double> ac_mv;         ///< the highest; absent: not measured among these
    std::optional<double> temperature_c; ///< of the water, the last one
};

/// Whether a reading shows the metal: not saturated, not too early, lead and cell as they should.
bool shows_the_metal(const wire::LiveReading& live, const LoggerFacts& facts);

/// The filter catches up after each look at the leads: nothing is known against clip or cell then.
bool only_catches_up(Quality quality);

/// The same readings give the same point, whenever they are read. Nothing where there are none.
std::optional<LivePoint> point_of(std::span<const wire::LiveReading> readings,
                                  const LoggerFacts& facts);

/// As an archive keeps them, and back; bytes that are no whole number of readings give none.
std::vector<std::uint8_t> to_bytes(std::span<const wire::LiveReading> readings);
std::vector<wire::LiveReading> live_readings_in(std::span<const std::uint8_t> bytes);

} // namespace quaycell

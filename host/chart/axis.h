// Where the ticks of an axis stand and what they say.
#pragma once

#include "base/zone.h"
#include "chart/scene.h"

#include <span>

namespace quaycell {

struct ValueTick {
    double value;
    std::string label; ///< with a real minus sign
};

/// Round values (1, 2 or 5 times a power of ten apart) from low to high, as many as fit `length_mm`
/// at `spacing_mm`, but two at least. Empty when low is not below high.
std::vector<ValueTick> value_ticks(double low, double high, double length_mm, double spacing_mm);

struct TimeTick {
    Instant time;
    std::string label;   ///< empty where it has no room
    std::string context; ///< the date or year that the label leaves open, below it; may be empty
};

struct TimeTicks {
    std::vector<TimeTick> major;
    std::vector<Instant> minor;
};

/// Ticks by the clocks of a zone from `from` to `to` along `length_mm`, as dense as labels of
/// `size_mm` stand beside each other without touching; two labels at least, where the time has two
/// seconds to show.
TimeTicks time_ticks(Instant from, Instant to, const Zone& zone, double length_mm, double size_mm,
                     const TextWidth& text_width);

/// "Time, UTC"; of a zone its name and how far its clocks are ahead of UTC, with a change between.
std::string time_title(Instant from, Instant to, const Zone& zone);

/// A number for people: digits after the point as given, and U+2212 for a minus.
std::string number_text(double value, int decimals);

} // namespace quaycell

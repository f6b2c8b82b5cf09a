// --from and --to: a part of a trace, judged as if it were all.
#pragma once

#include "base/result.h"
#include "series/readings.h"

#include <optional>
#include <string>

namespace CLI {
class App;
}

namespace quaycell {

/// As typed, in RFC 3339; empty: not limited.
struct WindowOptions {
    std::string from;
    std::string to;
};

void add_window_options(CLI::App& command, WindowOptions& options);

/// A time that is limited at one end at least.
struct Window {
    std::optional<Instant> from;
    std::optional<Instant> to;
};

/// Nothing where the options ask for all. Errors (wrong_usage): no times, or in the wrong order.
Result<std::optional<Window>> window_from(const WindowOptions& options);

/// The readings from `from` to `to`, both included, with the events between them; the trace's name
/// says so. Error (wrong_usage): there is none.
Result<Readings> within(const Readings& trace, const Window& window);

} // namespace quaycell

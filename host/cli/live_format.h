// The forms in which live readings go to a program or a file.
#pragma once

#include "judging/live_view.h"

#include <string>
#include <string_view>

namespace quaycell {

enum class LiveFormat { words, csv, json, nmea0183, signalk };

/// Error: wrong_usage, which lists the names.
Result<LiveFormat> live_format_named(std::string_view name);

/// Whether readings of several loggers can be told apart in it.
bool tells_loggers_apart(LiveFormat format);

/// What comes before the first reading of a logger: a header, or what the paths mean. May be empty.
std::string live_greeting(LiveFormat format, const LiveView& first);

/// One reading, whole lines. `names_logger`: words begin with its number.
std::string live_text(LiveFormat format, const LiveView& view, bool names_logger);

} // namespace quaycell

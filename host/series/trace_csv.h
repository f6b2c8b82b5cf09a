// The trace as a CSV file, RFC 4180: time,potential_mv and the optional columns.
#pragma once

#include "series/trace.h"

namespace quaycell {

/// Reads a trace. `name` is the file's, for the trace and for the complaints: whatever is wrong is
/// an Error whose `where` is "NAME:LINE:COLUMN" (column in bytes). Accepted: CRLF or LF, quoted
/// fields, columns in any order, `standard_mv` (ignored). Refused: an unknown or repeated column, a
/// missing header, a number that no instrument gives, potentials in volts, times without an offset,
/// equal or falling times, more than one cell_scale. An empty field is missing, never 0. Where the
/// words of `deployment` change, there is a joint.
Result<Trace> read_trace_csv(std::string_view text, std::string_view name);

/// Writes what read_trace_csv reads back the same, numbers to 0.001. `standard_mv` (on
/// agcl/seawater) has one value per reading, or is empty: then the column is left out. Events are
/// not written.
std::string write_trace_csv(const Trace& trace, std::span<const double> standard_mv);
/// The same into a text whose room is used again, and whose content is lost.
void write_trace_csv(const Trace& trace, std::span<const double> standard_mv, std::string& text);

} // namespace quaycell

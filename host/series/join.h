// Several deployments of one boat, read as one trace.
#pragma once

#include "series/trace.h"

#include <string>
#include <vector>

namespace quaycell {

/// A trace to be joined, and how its deployment is called, "deployment 3 (logger 0000a1b2)".
struct TracePart {
    Trace trace;
    std::string what;
};

/// The parts in order of time, with Trace::joints where one follows another. A column that a part
/// has not got is missing there. Parts without readings are left out. Errors (wrong_input): parts
/// that overlap in time, or whose potentials are on different scales.
Result<Trace> joined(std::vector<TracePart> parts);

} // namespace quaycell

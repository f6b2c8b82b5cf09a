// Corrections, for a person and for a program.
#pragma once

#include "base/zone.h"
#include "judging/entry_corrections.h"

#include <boost/json/fwd.hpp>
#include <string>

namespace quaycell {

/// "correction 1 of deployment 2, all of it: times moved by +3600 s (1 h); why: summer time (Ann,
/// written 2026-05-05T08:00:00Z)". A stretch is told by the clock that its readings are read by
/// now; where that was another one when it was written, by that too.
std::string correction_text(const KnownCorrection& correction);

/// The same with times by the clocks of a zone. Why, as somebody wrote it, stays as it is.
std::string correction_text(const KnownCorrection& correction, const Zone& zone);

boost::json::array corrections_json(const std::vector<KnownCorrection>& corrections);

} // namespace quaycell

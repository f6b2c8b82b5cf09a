// What there is to show of one logger at this moment, as plain data: for a terminal, a page or
// another program.
#pragma once

#include "judging/live_judge.h"
#include "survey/cell_drift.h"
#include "survey/survey.h"

#include <boost/json/fwd.hpp>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// How far the electronics and the contact have settled: seconds.
struct ReadingSettling {
    std::size_t readings = 0;         ///< that are held, settled_readings at most
    double spread_mv = missing_value; ///< between the highest and the lowest of them
    bool settled = false;             ///< by settled_criterion()
};

/// AC at the cell, which is measured about every ten seconds. All of it in [mV rms].
struct LiveAc {
    double last_mv = missing_value;    ///< missing before the first
    bool at_least = false;             ///< the last went beyond what its amplifier can show
    double highest_mv = missing_value; ///< of what the leads were closed for
    Instant highest_at{};
    bool too_high = false; ///< the highest is above the rule of practice "ac-stop"
    /// Above that rule too, but the lead may be open, which hums. Missing where there is none.
    double perhaps_mv = missing_value;
    Instant perhaps_at{};

    bool is_perhaps_too_high() const { return !std::isnan(perhaps_mv); }
    bool is_danger() const { return too_high || is_perhaps_too_high(); }
};

/// What somebody at the dock said of the shore power cord.
struct ShoreWord {
    ShoreCord cord;
    Instant at;
};

/// That, and what it has changed.
struct ShoreSaid : ShoreWord {
    double before_mv = missing_value; ///< on agcl/seawater, settled, before it was said
    double change_mv = missing_value; ///< what has settled since, less that
};

/// The same in words for a person, without colour and without the end of a sentence.
struct LiveWords {
    std::string verdict; ///< "under-protected"
    std::string doubt;   ///< why it is not to be taken as it stands yet; may be empty
    std::string limit;   ///< of the criterion that decides; else why there is no verdict
    std::string source;  ///< of that criterion; may be empty
    std::string reading; ///< electronics and contact
    std::string cell;
    std::string leads;
    std::string ac;
    std::string water;
    std::string battery;
    std::string shore;
};

struct LiveView {
    std::uint32_t device_id;
    std::string device; ///< its name
    LiveLine latest;    ///< the reading that has just come
    /// What to show large: where the reading has settled, the same with the median of those held
    /// as its potential; else the latest.
    LiveLine shown;
    bool shows_metal; ///< else the potentials are no hull's: lead open, converter at its end
    Scale cell_scale;
    Scale display_scale; ///< of LiveLine::display_mv
    ReadingSettling reading;
    CellSettling cell;
    LiveAc ac;
    std::optional<ShoreSaid> shore;
    LiveWords words;
    std::vector<std::string> cautions; ///< to be seen as long as they are here; the worst first
    bool leads_to_be_looked_at;        ///< something speaks for a look sooner than in a minute
};

/// One object: the keys of the latest reading, then "shown", "reading", "cell", "ac", "shore",
/// "words", "cautions". What is missing is null.
boost::json::object live_view_json(const LiveView& view);

} // namespace quaycell

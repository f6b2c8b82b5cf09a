// Local time: how far a place's clocks are ahead of UTC, and when that changes.
#pragma once

#include "base/time.h"

#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// What a clock on the wall shows.
using LocalTime = std::chrono::local_time<Milliseconds>;

/// From an instant on until the next stretch begins.
struct ZoneStretch {
    Instant from;
    std::chrono::seconds ahead; ///< of UTC
    std::string abbreviation;   ///< "CEST"; some zones have but "+08"
};

/// Plain data, so that nothing here depends on the machine's tables of zones.
class Zone {
  public:
    Zone(); ///< UTC
    /// `stretches`: at least one, in order of time; the first holds for all time before it too.
    Zone(std::string name, std::vector<ZoneStretch> stretches);

    const std::string& name() const { return name_; } ///< "Europe/Amsterdam"
    const ZoneStretch& at(Instant instant) const;
    /// The stretches that begin after `from` and not after `to`.
    std::vector<ZoneStretch> changes(Instant from, Instant to) const;

    LocalTime local(Instant instant) const;
    /// When the clocks first showed at least this: of an hour that comes twice the first one, of
    /// one that is left out the moment at which it is.
    Instant instant(LocalTime local) const;

  private:
    std::string name_;
    std::vector<ZoneStretch> stretches_;
};

/// "2026-05-04 08:00:00 CEST", to the whole second before.
std::string to_words(Instant instant, const Zone& zone);

/// The text with every instant that to_text() has written into it in the words of above.
std::string with_times_in(std::string_view text, const Zone& zone);

/// "CEST, UTC+2"
std::string to_words(const ZoneStretch& stretch);

} // namespace quaycell

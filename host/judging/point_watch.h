// What a logger sees while the clip is held on a point of a survey, until a reading can be taken.
#pragma once

#include "judging/lead_asking.h"
#include "judging/live_point.h"

#include <optional>
#include <vector>

namespace quaycell {

/// A reading that a point can be given.
struct SurveyReading {
    std::vector<wire::LiveReading> readings; ///< that the point is made of
    LivePoint point;
    bool settled; ///< else somebody insisted

    /// Enough of them, close enough together; whether they show this metal the leads have to tell.
    bool lies_still() const { return is_settled(point.value, readings.size()); }
};

/// What came of waiting at a point.
struct PointSeen {
    std::optional<SurveyReading> taken;
    std::optional<double> ac_mv; ///< the highest of all that was seen, [mV rms], taken or not
};

/// Looks at one live reading after another, and keeps the last ones, ten at most. What they show
/// has settled when the logger has then looked at its leads and found them closed: the input filter
/// holds what the last fitting showed while the clip is in the air.
class PointWatch {
  public:
    /// AC above `ac_stop_mv` ends the watch, whatever else the readings are like.
    PointWatch(LoggerFacts facts, double ac_stop_mv)
        : facts_(std::move(facts)), ac_stop_mv_(ac_stop_mv) {}

    void take(const wire::LiveReading& live);

    /// As it stands; nothing while lead or cell is open.
    std::optional<SurveyReading> reading() const;

    /// Whether the logger is to look at its leads now: the readings lie close enough together, or
    /// lead or cell was open and may be mended.
    bool wants_look() const { return wants_look_; }

    /// Whether waiting has an end: settled, `insisted` on what there is, or too much AC.
    bool is_done(bool insisted) const;

    /// Two minutes without settling.
    bool is_too_long() const;

    /// What is taken when the watch ends now.
    PointSeen seen(bool insisted) const;

  private:
    void ask_for_look(bool is_open);
    bool has_too_much_ac() const { return ac_mv_.value_or(0) > ac_stop_mv_; }

    LoggerFacts facts_;
    double ac_stop_mv_;
    std::vector<wire::LiveReading> last_;
    std::optional<double> ac_mv_;
    bool looked_ = false; ///< with the last reading
    bool wants_look_ = false;
    int seen_ = 0;
    int since_asked_ = readings_between_urgent_looks;
};

/// About two minutes at a reading a second.
inline constexpr int longest_watch_readings = 120;

} // namespace quaycell

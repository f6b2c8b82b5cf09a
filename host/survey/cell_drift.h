// Whether the cell has settled in the water that it hangs in: minutes, where the electronics take
// seconds.
#pragma once

#include <deque>
#include <string>

namespace quaycell {

/// A cell is read when it drifts by no more than 1 to 2 mV over 1 to 5 min (practice of surveys,
/// from memory). Of that the whole time and the wider limit count here: our judgement.
inline constexpr double cell_watch_s = 300;
inline constexpr double cell_settled_within_mv = 2;

/// Before that a straight line through the readings says more of their noise than of a drift: our
/// judgement, from the shortest time that practice names.
inline constexpr double least_cell_watch_s = 60;

/// "drifts by no more than 2 mV in 5 min"
std::string cell_settled_criterion();

/// No cell changes by as much from one second to the next: our judgement, the tolerance within
/// which bonded metals read the same.
inline constexpr double cell_jump_mv = 5;

struct CellSettling {
    double watched_s = 0; ///< without a break; cell_watch_s at most
    double drift_mv;      ///< in 5 minutes, of a straight line; missing before least_cell_watch_s
    bool settled = false; ///< watched for cell_watch_s, and within cell_settled_within_mv
};

/// Watches the readings that show the metal.
class CellDrift {
  public:
    /// `at_s` is the time by any clock that only goes forward. A step back, a break of more than
    /// ten seconds, and a potential that jumps (the clip is on another metal, shore power was
    /// plugged in) begin the watch anew.
    void take(double at_s, double potential_mv);

    /// The watch begins anew: another metal, lead or state of the boat from now on.
    void restart() { seen_.clear(); }

    CellSettling now() const;

  private:
    struct Seen {
        double at_s;
        double potential_mv;
    };
    std::deque<Seen> seen_;
};

} // namespace quaycell

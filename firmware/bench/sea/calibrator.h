// What a person joins to the logger in the place of the sea, to compare it with an instrument.
#pragma once

#include "bench/findings.h"

#include <optional>
#include <vector>

namespace quaycell::bench {

enum class Cell : unsigned { a = 0, b = 1 };

/// At one cell's jack, against COM.
struct JoinedSource {
    double mv = 0; ///< of the hull against the cell, as a reading counts it
    double ohm = 0;
    double ac_mv = 0; ///< rms
    double ac_hz = 50;
    bool open = false; ///< nothing is joined, the cable is off: the input holds `mv`
};

class Calibrator {
  public:
    /// From `now` on this is joined to the cell's jack; nothing: the sea again.
    void join(Cell cell, Time now, const std::optional<JoinedSource>& source);
    /// What was joined at `when`; null: the sea.
    const JoinedSource* at(Cell cell, Time when) const;

    /// From `now` on the board is so warm, whatever the scenario says.
    void hold_board_at(Time now, double board_c) { board_.push_back({now, board_c}); }
    std::optional<double> board_c(Time when) const;

  private:
    struct Joined {
        Time from;
        std::optional<JoinedSource> source;
    };
    struct Held {
        Time from;
        double board_c;
    };
    std::vector<Joined> joined_[2]; ///< the input filter looks back
    std::vector<Held> board_;
};

} // namespace quaycell::bench

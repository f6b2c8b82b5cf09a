// How simulated time goes while a host may be connected.
#pragma once

#include "bench/board.h"
#include "bench/pty.h"

#include <chrono>
#include <functional>

namespace quaycell::bench {

enum class Pace {
    talking_free, ///< as fast as it goes while bytes flow or an answer is due, real time otherwise
    fixed,        ///< so many simulated seconds per second, always
    free,         ///< as fast as it goes, always
};

/// Joins the board to the pseudo-terminal. Time stands still while no host is attached and while
/// the host does not fetch what was sent to it.
class Session {
  public:
    Session(Board& board, Pty& pty, Pace pace, double speed)
        : board_(board), pty_(pty), pace_(pace), speed_(speed) {}

    /// Does what is due now; returns how long to wait for before the next call when nothing
    /// arrives.
    std::chrono::milliseconds serve();

    /// Lets simulated time pass as fast as it goes. `go_on` is asked now and then.
    void advance(Time length, const std::function<bool()>& go_on);

    /// Bytes that the host has not taken yet: nothing goes on before it does.
    bool stalled() const { return !unsent_.empty(); }

  private:
    using Clock = std::chrono::steady_clock;

    void notice_cable();
    void deliver();
    bool talking() const;
    std::chrono::milliseconds run_paced(double speed);

    Board& board_;
    Pty& pty_;
    Pace pace_;
    double speed_;
    std::vector<std::uint8_t> unsent_;
    Time last_from_host_{Time::min()}, last_from_logger_{Time::min()};
    Clock::time_point anchor_wall_{};
    Time anchor_world_{};
    bool anchored_ = false; ///< the two anchors hold while the pace does not change
};

} // namespace quaycell::bench

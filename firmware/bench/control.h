// The commands on standard input.
#pragma once

#include "bench/sea/scenario.h"
#include "bench/session.h"

#include <string>
#include <string_view>

namespace quaycell::bench {

class Control {
  public:
    /// `go_on` turns false when a long command has to end early.
    Control(Board& board, Session& session, const Scenario& scenario, std::function<bool()> go_on)
        : board_(board), session_(session), scenario_(scenario), go_on_(std::move(go_on)) {}

    /// Does one line's command and returns the answer; "error: ..." where it is none.
    std::string execute(std::string_view line);
    bool quit() const { return quit_; }

  private:
    std::string advance(const std::string& length);
    std::string clock() const;
    std::string stack() const;
    std::string findings() const;
    std::string energy(const std::string& argument);
    std::string save(const std::string& file) const;

    Board& board_;
    Session& session_;
    const Scenario& scenario_;
    std::function<bool()> go_on_;
    struct Energy {
        EnergyUse whole, ac_burst, stimulus;
    };
    Energy energy_so_far() const;

    Energy energy_reset_at_;
    bool quit_ = false;
};

/// One line per command, for the program's help.
extern const char* const control_help;

} // namespace quaycell::bench

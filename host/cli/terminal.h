// A whole terminal window for one program, given back as it was however the program ends.
#pragma once

#include "cli/live_screen.h"

#include <memory>
#include <string>
#include <vector>

namespace quaycell {

class Terminal {
  public:
    /// Whether standard output is a terminal that can be drawn on.
    static bool is_there();

    /// A filled block where the locale writes UTF-8, else "#".
    static std::string block();

    /// Takes the window: another screen, no cursor, keys as they are pressed and not shown; Ctrl-C
    /// stays what it is. One at a time.
    Terminal();
    ~Terminal();
    Terminal(const Terminal&) = delete;
    Terminal& operator=(const Terminal&) = delete;

    ScreenSize size() const;

    /// Writes the rows that have changed. Colour where NO_COLOR is not set.
    void draw(const std::vector<ScreenLine>& lines);

    /// What was typed, waiting at most so long for it; empty where standard input is no terminal.
    std::string keys(int wait_ms) const;

    /// Whether the window is still there.
    bool is_open() const { return open_; }

    /// Gives the window back; may be called from a signal handler, and when there is none.
    static void give_back();

  private:
    bool colour_;
    bool open_ = true;
    std::vector<ScreenLine> drawn_;
    ScreenSize drawn_size_{0, 0};
};

} // namespace quaycell

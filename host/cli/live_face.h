// What live readings are shown on: lines of text, or a screen.
#pragma once

#include "judging/live_view.h"

#include <optional>
#include <string>

namespace quaycell {

/// Any thread may call any of it.
class LiveFace {
  public:
    LiveFace() = default;
    virtual ~LiveFace() = default;
    LiveFace(const LiveFace&) = delete;
    LiveFace& operator=(const LiveFace&) = delete;

    /// `boat`: that the reading is judged for.
    virtual void show(const LiveView& view, const Boat& boat) = 0;

    /// Words beside the readings.
    virtual void say(const std::string& words) = 0;

    /// No readings come from a logger until it is shown again.
    virtual void lose(const std::string& why) = 0;

    /// What was said since this was last asked.
    virtual std::optional<ShoreWord> shore_word() { return std::nullopt; }

    /// Whether it can still be seen.
    virtual bool is_there() const = 0;
};

} // namespace quaycell

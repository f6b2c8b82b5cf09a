// The screen of `live`: what stands in which row of a terminal. Talks to no terminal.
#pragma once

#include "judging/live_view.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// A colour says nothing that words do not say.
enum class Tint { plain, good, bad, doubtful };

struct ScreenLine {
    std::string text;
    Tint tint = Tint::plain;
    bool operator==(const ScreenLine&) const = default;
};

struct ScreenSize {
    std::size_t columns = 80;
    std::size_t rows = 24;
    bool operator==(const ScreenSize&) const = default;
};

struct ScreenContent {
    const LiveView* view = nullptr;     ///< null: no reading comes
    bool lost = false;                  ///< since the logger was lost
    std::vector<std::string> notice{};  ///< takes the place of details
    bool notice_alone = false;          ///< and of the reading
    std::string message{};              ///< what was last done or said
    std::optional<std::string> typed{}; ///< the note that is being typed
    std::optional<ShoreCord> asked{};   ///< whether shore power is so by now
    std::string block = "#";            ///< one character that large digits are made of
};

/// Exactly `size.rows` lines, none longer than `size.columns`. The number is large where there is
/// room. What has no room is cut at the end of the notice, and says so.
std::vector<ScreenLine> live_screen(const ScreenContent& content, ScreenSize size);

/// The texts of a notice that stands alone for which that screen has no room: for the next one.
std::vector<std::string> notice_left(const ScreenContent& content, ScreenSize size);

/// Broken at blanks, and within words that are longer than a line.
std::vector<std::string> wrapped(const std::string& text, std::size_t width);

} // namespace quaycell

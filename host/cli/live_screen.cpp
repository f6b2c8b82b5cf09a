#include "cli/live_screen.h"

#include "base/rounding.h"
#include "cli/big_digits.h"

#include <algorithm>
#include <cmath>
#include <fmt/chrono.h>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr std::size_t label_width = 8;

using Lines = std::vector<ScreenLine>;

/// Of a character in UTF-8.
bool is_begin(char c) {
    return (static_cast<unsigned char>(c) & 0xC0) != 0x80;
}

Tint tint_of(Verdict verdict) {
    switch (verdict) {
    case Verdict::protected_:
        return Tint::good;
    case Verdict::under_protected:
    case Verdict::over_protected:
        return Tint::bad;
    case Verdict::undecided:
    case Verdict::no_verdict:
        return Tint::doubtful;
    }
    return Tint::plain;
}

std::string in_capitals(std::string text) {
    std::ranges::transform(text, text.begin(), [](char c) {
        return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    });
    return text;
}

void add(Lines& lines, const std::string& text, std::size_t width, Tint tint = Tint::plain) {
    for (std::string& each : wrapped(text, width))
        lines.push_back({std::move(each), tint});
}

std::string number_of(const LiveView& view) {
    const LiveLine& line = view.shown;
    if (!view.shows_metal || std::isnan(line.display_mv)) return "----";
    return rounded_text(line.display_mv, std::min(0, told_decimals_mv(line.display_expanded_mv)));
}

std::string verdict_line(const LiveView& view) {
    const std::string text = in_capitals(view.words.verdict);
    return view.words.doubt.empty() ? text : text + ", " + view.words.doubt;
}

/// `block`: empty for a number that is not large.
Lines reading_lines(const LiveView& view, const std::string& block, std::size_t width) {
    const bool large = !block.empty();
    Lines lines;
    const std::string number = number_of(view);
    const Tint tint = view.reading.settled ? Tint::plain : Tint::doubtful;
    if (large)
        for (const std::string& row : big_digits(number, block))
            lines.push_back({row, tint});
    if (view.shows_metal)
        add(lines,
            fmt::format("{}mV {}, {}", large ? "" : number + ' ', name_of(view.display_scale),
                        uncertainty_text(view.shown.display_expanded_mv)),
            width);
    else if (!large)
        lines.push_back({number, tint});
    // Nothing is good where AC is.
    const Tint verdict = tint_of(view.shown.judgement.verdict);
    add(lines, verdict_line(view), width,
        view.ac.is_danger() && verdict == Tint::good ? Tint::plain : verdict);
    add(lines, view.words.limit, width);
    return lines;
}

/// Where another scale is shown than the one it is judged on.
std::string judged_on(const LiveView& view) {
    const LiveLine& line = view.shown;
    if (view.display_scale == Scale::agcl_seawater || !view.shows_metal) return "";
    return fmt::format(
        "{} mV on {}, {}",
        rounded_text(line.standard_mv, std::min(0, told_decimals_mv(line.expanded_uncertainty_mv))),
        name_of(Scale::agcl_seawater), uncertainty_text(line.expanded_uncertainty_mv));
}

Lines detail_lines(const LiveView& view, std::size_t width) {
    const LiveWords& words = view.words;
    struct Detail {
        const char* label;
        std::string text;
        Tint tint;
    };
    const auto settled = [](bool is) { return is ? Tint::good : Tint::doubtful; };
    const bool good_lead = view.latest.lead == LeadState::good;
    const Detail details[] = {
        {"reading", words.reading, settled(view.reading.settled)},
        {"cell", words.cell, settled(view.cell.settled)},
        {"AC", words.ac, view.ac.is_danger() ? Tint::bad : Tint::plain},
        {"judged", judged_on(view), Tint::plain},
        {"leads", words.leads, good_lead ? Tint::plain : Tint::doubtful},
        {"shore", words.shore, Tint::plain},
        {"water", words.water, Tint::plain},
        {"battery", words.battery,
         has(view.latest.quality, Quality::low_battery) ? Tint::bad : Tint::plain},
        {"as read",
         fmt::format("{} mV on {}", rounded_text(view.shown.potential_mv, 1),
                     name_of(view.cell_scale)),
         Tint::plain},
        {"by", words.source, Tint::plain},
    };
    Lines lines;
    for (const Detail& detail : details) {
        if (detail.text.empty()) continue;
        std::string label = fmt::format("{:<{}}", detail.label, label_width);
        for (const std::string& text : wrapped(detail.text, width - label_width)) {
            lines.push_back({label + text, detail.tint});
            label.assign(label_width, ' ');
        }
    }
    return lines;
}

std::string header(const LiveView* view, bool lost) {
    if (view == nullptr) return lost ? "NO READING: the logger is lost" : "no reading yet";
    return fmt::format("{}  {:%H:%M:%S}Z{}", view->device,
                       std::chrono::floor<std::chrono::seconds>(view->latest.time),
                       view->latest.recorded ? "  recorded" : "");
}

/// Of the reading, before whatever else is to be read.
Lines caution_lines(const ScreenContent& content, std::size_t width) {
    Lines lines;
    if (content.view == nullptr) return lines;
    for (const std::string& caution : content.view->cautions)
        add(lines, caution, width, Tint::bad);
    return lines;
}

Lines notice_lines(const ScreenContent& content, std::size_t width) {
    Lines lines = caution_lines(content, width);
    for (const std::string& text : content.notice)
        add(lines, text, width);
    return lines;
}

std::string keys_line(const ScreenContent& content, std::size_t width) {
    if (content.typed) {
        // The end of what is typed, where it is longer than the line. Never within a character.
        std::string typed = "note: " + *content.typed + '_';
        while (wrapped(typed, width).size() > 1 && typed.size() > width) {
            std::size_t next = 1;
            while (next < typed.size() && !is_begin(typed[next]))
                ++next;
            typed.erase(0, next);
        }
        return typed;
    }
    if (content.notice_alone) return "any key: go on";
    if (content.asked)
        return fmt::format("{} again: it is {}; any other key: not",
                           *content.asked == ShoreCord::plugged ? 'p' : 'u',
                           *content.asked == ShoreCord::plugged ? "in" : "out");
    return width < 60 ? "n note p plug in u unplug w why q end"
                      : "keys:  n note   p plug in   u unplug   w why   q end";
}

std::size_t width_of(ScreenSize size) {
    return std::max<std::size_t>(size.columns, label_width + 8);
}

/// Rows above the keys.
std::size_t room_of(ScreenSize size) {
    return std::max<std::size_t>(size.rows, 1) - 1;
}

/// So many characters of it.
std::string first_of(const std::string& text, std::size_t characters) {
    std::size_t end = 0;
    for (; end < text.size(); ++end)
        if (is_begin(text[end]) && characters-- == 0) break;
    return text.substr(0, end);
}

} // namespace

std::vector<std::string> wrapped(const std::string& text, std::size_t width) {
    std::vector<std::string> lines{""};
    std::size_t used = 0; // characters of the last line
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        const std::string word = text.substr(at, end - at);
        const auto length = static_cast<std::size_t>(std::ranges::count_if(word, is_begin));
        at = end + 1;
        if (used > 0 && used + 1 + length > width) {
            lines.emplace_back();
            used = 0;
        }
        if (used > 0) {
            lines.back() += ' ';
            ++used;
        }
        for (const char c : word) {
            if (is_begin(c) && used == width) {
                lines.emplace_back();
                used = 0;
            }
            lines.back() += c;
            if (is_begin(c)) ++used;
        }
    }
    return lines;
}

std::vector<ScreenLine> live_screen(const ScreenContent& content, ScreenSize size) {
    const std::size_t width = width_of(size);
    const std::size_t room = room_of(size);
    const Lines notice = notice_lines(content, width);
    Lines lines;
    for (const bool large : {true, false}) {
        lines.assign(1, {header(content.view, content.lost)});
        add(lines, content.message, width, Tint::doubtful);
        if (content.view != nullptr && !content.notice_alone)
            std::ranges::move(reading_lines(*content.view, large ? content.block : "", width),
                              std::back_inserter(lines));
        if (lines.size() + std::max<std::size_t>(notice.size(), 4) <= room) break;
    }
    lines.insert(lines.end(), notice.begin(), notice.end());
    if (lines.size() > room) {
        lines.resize(room);
        if (room > 0)
            lines.back() = {content.notice_alone ? "... and more: any key"
                                                 : "... the rest needs a larger window",
                            Tint::doubtful};
    }
    if (content.view != nullptr && content.notice.empty())
        std::ranges::move(detail_lines(*content.view, width), std::back_inserter(lines));
    lines.resize(room);
    lines.push_back({keys_line(content, width)});
    for (ScreenLine& line : lines) // in a window narrower than all that is planned for
        line.text = first_of(line.text, size.columns);
    return lines;
}

std::vector<std::string> notice_left(const ScreenContent& content, ScreenSize size) {
    const std::size_t width = width_of(size);
    const std::size_t above = 1 + wrapped(content.message, width).size();
    if (above + notice_lines(content, width).size() <= room_of(size)) return {};
    std::size_t used = above + caution_lines(content, width).size() + 1; // the row that says so
    auto next = content.notice.begin();
    for (; next != content.notice.end(); ++next) {
        used += wrapped(*next, width).size();
        if (used > room_of(size)) break;
    }
    // In a window that has no room for the first one either it is gone on all the same.
    if (next == content.notice.begin() && next != content.notice.end()) ++next;
    return {next, content.notice.end()};
}

} // namespace quaycell

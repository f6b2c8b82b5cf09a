#include "base/zone.h"

#include <algorithm>
#include <cctype>
#include <fmt/format.h>

namespace quaycell {

Zone::Zone() : Zone("UTC", {{Instant{}, std::chrono::seconds{0}, "UTC"}}) {}

Zone::Zone(std::string name, std::vector<ZoneStretch> stretches)
    : name_(std::move(name)), stretches_(std::move(stretches)) {}

const ZoneStretch& Zone::at(Instant instant) const {
    const auto after = std::ranges::upper_bound(stretches_, instant, {}, &ZoneStretch::from);
    return after == stretches_.begin() ? stretches_.front() : *(after - 1);
}

std::vector<ZoneStretch> Zone::changes(Instant from, Instant to) const {
    std::vector<ZoneStretch> found;
    for (auto each = stretches_.begin() + 1; each != stretches_.end(); ++each)
        if (each->from > from && each->from <= to) found.push_back(*each);
    return found;
}

LocalTime Zone::local(Instant instant) const {
    return LocalTime{instant.time_since_epoch() + at(instant).ahead};
}

Instant Zone::instant(LocalTime local) const {
    for (std::size_t i = 0; i < stretches_.size(); ++i) {
        const Instant found{local.time_since_epoch() - stretches_[i].ahead};
        const bool ends = i + 1 < stretches_.size();
        if (ends && found >= stretches_[i + 1].from) continue;
        return i == 0 ? found : std::max(found, stretches_[i].from);
    }
    return Instant{local.time_since_epoch() - stretches_.back().ahead};
}

std::string to_words(Instant instant, const Zone& zone) {
    std::string text = to_text(
        Instant{std::chrono::floor<std::chrono::seconds>(zone.local(instant)).time_since_epoch()});
    text[text.find('T')] = ' ';
    text.pop_back();
    return text + ' ' + zone.at(instant).abbreviation;
}

namespace {

/// How many characters of what begins here are an instant as to_text() writes it; 0 for none.
std::size_t instant_length(std::string_view text) {
    constexpr std::string_view whole = "0000-00-00T00:00:00";
    constexpr std::string_view fraction = ".000";
    const auto begins_with = [](std::string_view some, std::string_view pattern) {
        return some.size() >= pattern.size() &&
               std::ranges::equal(some.substr(0, pattern.size()), pattern, [](char is, char like) {
                   return like == '0' ? is >= '0' && is <= '9' : is == like;
               });
    };
    if (!begins_with(text, whole)) return 0;
    std::size_t length = whole.size();
    if (begins_with(text.substr(length), fraction)) length += fraction.size();
    return length < text.size() && text[length] == 'Z' ? length + 1 : 0;
}

} // namespace

std::string with_times_in(std::string_view text, const Zone& zone) {
    std::string shown;
    bool after_digit = false; // which then belongs to some longer number
    while (!text.empty()) {
        const std::size_t length = after_digit ? 0 : instant_length(text);
        if (length != 0) {
            if (const auto instant = parse_instant(text.substr(0, length))) {
                shown += to_words(*instant, zone);
                text.remove_prefix(length);
                continue;
            }
        }
        after_digit = text.front() >= '0' && text.front() <= '9';
        shown += text.front();
        text.remove_prefix(1);
    }
    return shown;
}

std::string to_words(const ZoneStretch& stretch) {
    const auto ahead_min = std::chrono::duration_cast<std::chrono::minutes>(stretch.ahead).count();
    std::string offset = "UTC";
    if (ahead_min != 0)
        offset += fmt::format("{}{}", ahead_min < 0 ? "\u2212" : "+", std::abs(ahead_min) / 60);
    if (ahead_min % 60 != 0) offset += fmt::format(":{:02}", std::abs(ahead_min) % 60);
    const bool has_name =
        std::isalpha(static_cast<unsigned char>(stretch.abbreviation.front())) != 0;
    if (!has_name || stretch.abbreviation == offset) return offset;
    return stretch.abbreviation + ", " + offset;
}

} // namespace quaycell

#include "base/many_instants.h"

namespace quaycell {

Result<Instant> InstantReader::read(std::string_view text) {
    constexpr std::size_t day_size = 11;
    constexpr std::size_t size = 20; // without a fraction of a second
    if (text.size() == size && text.back() == 'Z' && !day_text_.empty() &&
        text.starts_with(day_text_)) {
        const auto pair = [text](std::size_t at) {
            const int tens = text[at] - '0', ones = text[at + 1] - '0';
            return tens < 0 || tens > 9 || ones < 0 || ones > 9 ? 99 : 10 * tens + ones;
        };
        const int hour = pair(day_size), minute = pair(day_size + 3), second = pair(day_size + 6);
        if (hour < 24 && minute < 60 && second < 60 && text[day_size + 2] == ':' &&
            text[day_size + 5] == ':')
            return day_ + std::chrono::seconds{(hour * 60 + minute) * 60 + second};
    }
    const Result<Instant> instant = parse_instant(text);
    if (instant && text.back() == 'Z') {
        day_ = std::chrono::floor<std::chrono::days>(*instant);
        day_text_ = to_text(day_).substr(0, day_size);
    }
    return instant;
}

void InstantWriter::append(std::string& text, Instant instant) {
    const Milliseconds since = instant - day_;
    if (day_text_.empty() || since < Milliseconds{0} || since >= std::chrono::days{1} ||
        since % 1000 != Milliseconds{0}) {
        const std::string whole = to_text(instant);
        day_ = std::chrono::floor<std::chrono::days>(instant);
        day_text_ = whole.substr(0, whole.find('T') + 1);
        text += whole;
        return;
    }
    const auto second = static_cast<int>(since.count() / 1000);
    const auto digit = [](int value) { return static_cast<char>('0' + value); };
    text += day_text_;
    for (const int part : {second / 3600, second / 60 % 60, second % 60})
        text += {digit(part / 10), digit(part % 10), ':'};
    text.back() = 'Z';
}

} // namespace quaycell

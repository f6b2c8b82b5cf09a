#include "chart/text.h"

namespace quaycell {

namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";
constexpr std::string_view ellipsis = "\xE2\x80\xA6";

unsigned char byte_at(std::string_view text, std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0;
}

bool continues(std::string_view text, std::size_t i) {
    return (byte_at(text, i) & 0xC0) == 0x80;
}

/// Bytes of the well-formed character at `i`, 0 when there is none (Unicode, table 3-7).
std::size_t character_length(std::string_view text, std::size_t i) {
    const unsigned char lead = byte_at(text, i);
    const unsigned char second = byte_at(text, i + 1);
    if (lead < 0x80) return 1;
    if (lead >= 0xC2 && lead <= 0xDF) return continues(text, i + 1) ? 2 : 0;
    if (!continues(text, i + 1) || !continues(text, i + 2)) return 0;
    if (lead >= 0xE0 && lead <= 0xEF) {
        const bool overlong = lead == 0xE0 && second < 0xA0;
        const bool surrogate = lead == 0xED && second > 0x9F;
        return overlong || surrogate ? 0 : 3;
    }
    if (lead >= 0xF0 && lead <= 0xF4 && continues(text, i + 3)) {
        const bool overlong = lead == 0xF0 && second < 0x90;
        const bool too_high = lead == 0xF4 && second > 0x8F;
        return overlong || too_high ? 0 : 4;
    }
    return 0;
}

/// U+FDD0 to U+FDEF, and the last two of every plane (Unicode, 23.7): Cairo takes none of them.
bool is_noncharacter(std::string_view character) {
    if (character >= "\xEF\xB7\x90" && character <= "\xEF\xB7\xAF") return true;
    if (character.size() < 3) return false;
    const unsigned char third = byte_at(character, character.size() - 3);
    const bool ends_plane = character.size() == 3 ? third == 0xEF : (third & 0x0F) == 0x0F;
    const unsigned char last = byte_at(character, character.size() - 1);
    return ends_plane && byte_at(character, character.size() - 2) == 0xBF && last >= 0xBE;
}

/// Control characters, those that could make a text read other than it stands (U+202A to U+202E,
/// U+2066 to U+2069), and what is no character.
bool is_forbidden(std::string_view character) {
    const unsigned char lead = byte_at(character, 0);
    if (lead < 0x20 || lead == 0x7F) return true;
    if (lead == 0xC2 && byte_at(character, 1) < 0xA0) return true;
    if (character >= "\xE2\x80\xAA" && character <= "\xE2\x80\xAE") return true;
    if (character >= "\xE2\x81\xA6" && character <= "\xE2\x81\xA9") return true;
    return is_noncharacter(character);
}

} // namespace

bool is_utf8(std::string_view text) {
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t length = character_length(text, i);
        if (length == 0) return false;
        i += length;
    }
    return true;
}

std::string clean_text(std::string_view text) {
    std::string clean;
    clean.reserve(text.size());
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t length = character_length(text, i);
        const std::string_view character = text.substr(i, length);
        if (character == "\n" || character == "\r" || character == "\t")
            clean += ' ';
        else
            clean += length == 0 || is_forbidden(character) ? replacement : character;
        i += length == 0 ? 1 : length;
    }
    return clean;
}

std::string shortened(const std::string& text, double width_mm, double size_mm, bool bold,
                      const TextWidth& text_width) {
    // A character is never narrower than a tenth of its size: a very long text is cut before it is
    // measured again and again.
    const auto most = static_cast<std::size_t>(width_mm / size_mm * 40) + 8;
    std::string kept = text.substr(0, most);
    if (kept.size() == text.size() && text_width(kept, size_mm, bold) <= width_mm) return text;
    while (!kept.empty()) {
        do
            kept.pop_back();
        while (continues(text, kept.size()) && !kept.empty());
        if (text_width(kept + std::string(ellipsis), size_mm, bold) <= width_mm) break;
    }
    while (kept.ends_with(' '))
        kept.pop_back();
    return kept + std::string(ellipsis);
}

namespace {

/// Where a word too long for a line is best parted: behind the last hyphen, stroke or comma within
/// what fits; else there.
std::size_t parted_at(std::string_view word, std::size_t fits) {
    const std::size_t mark = word.substr(0, fits).find_last_of("-/,;_");
    return mark == std::string_view::npos || mark == 0 ? fits : mark + 1;
}

/// As many of the first characters as fit, at least one.
std::size_t fitting(const std::string& word, double width_mm, double size_mm, bool bold,
                    const TextWidth& text_width) {
    std::size_t fits = 0;
    for (std::size_t end = 0; end < word.size();) {
        end += std::max<std::size_t>(character_length(word, end), 1);
        if (fits != 0 && text_width(word.substr(0, end), size_mm, bold) > width_mm) break;
        fits = end;
    }
    return fits;
}

} // namespace

std::vector<std::string> wrapped(const std::string& text, double width_mm, double size_mm,
                                 bool bold, const TextWidth& text_width) {
    std::vector<std::string> lines;
    std::string line;
    const auto end_line = [&] {
        if (!line.empty()) lines.push_back(std::move(line));
        line.clear();
    };
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t space = std::min(text.find(' ', i), text.size());
        std::string word = text.substr(i, space - i);
        i = space + 1;
        const std::string longer = line.empty() ? word : line + ' ' + word;
        if (text_width(longer, size_mm, bold) <= width_mm) {
            line = longer;
            continue;
        }
        end_line();
        while (text_width(word, size_mm, bold) > width_mm) {
            const std::size_t fits = fitting(word, width_mm, size_mm, bold, text_width);
            if (fits == word.size()) break;
            const std::size_t part = parted_at(word, fits);
            lines.push_back(word.substr(0, part));
            word.erase(0, part);
        }
        line = std::move(word);
    }
    end_line();
    return lines;
}

} // namespace quaycell

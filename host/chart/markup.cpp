#include "chart/markup.h"

#include "chart/text.h"

namespace quaycell {

std::string escaped_markup(std::string_view text) {
    std::string out;
    for (const char c : clean_text(text)) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        case '\'':
            out += "&#39;";
            break;
        default:
            out += c;
        }
    }
    return out;
}

} // namespace quaycell

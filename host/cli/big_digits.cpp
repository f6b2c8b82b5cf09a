#include "cli/big_digits.h"

namespace quaycell {

namespace {

struct Glyph {
    char of;
    std::array<std::string_view, big_rows> rows;
};

constexpr Glyph glyphs[] = {
    {'0', {"######", "##  ##", "##  ##", "##  ##", "######"}},
    {'1', {"  ##  ", " ###  ", "  ##  ", "  ##  ", "######"}},
    {'2', {"######", "    ##", "######", "##    ", "######"}},
    {'3', {"######", "    ##", " #####", "    ##", "######"}},
    {'4', {"##  ##", "##  ##", "######", "    ##", "    ##"}},
    {'5', {"######", "##    ", "######", "    ##", "######"}},
    {'6', {"######", "##    ", "######", "##  ##", "######"}},
    {'7', {"######", "    ##", "   ## ", "  ##  ", "  ##  "}},
    {'8', {"######", "##  ##", "######", "##  ##", "######"}},
    {'9', {"######", "##  ##", "######", "    ##", "######"}},
    {'-', {"    ", "    ", "####", "    ", "    "}},
    {'.', {"  ", "  ", "  ", "  ", "##"}},
};

} // namespace

std::array<std::string, big_rows> big_digits(std::string_view number, std::string_view block) {
    std::array<std::string, big_rows> rows;
    for (const char c : number) {
        for (const Glyph& glyph : glyphs) {
            if (glyph.of != c) continue;
            for (std::size_t row = 0; row < big_rows; ++row) {
                if (!rows[row].empty()) rows[row] += ' ';
                for (const char part : glyph.rows[row])
                    rows[row] += part == ' ' ? " " : block;
            }
        }
    }
    return rows;
}

} // namespace quaycell

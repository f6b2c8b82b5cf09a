#include "cli/fitted.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("lines that fit stay as they are, columns of a table too") {
    const std::string table = "a       1\nbb      2\n";
    CHECK(fitted(table, 9) == table);
    CHECK(fitted("", 20).empty());
    CHECK(fitted("\n\n", 20) == "\n\n");
}

TEST_CASE("a longer line is broken at blanks and goes on farther in") {
    CHECK(fitted("  one two three four\n", 14) == "  one two\n    three four\n");
    CHECK(fitted("  one two three four five six", 14) == "  one two\n    three four\n    five six");
}

TEST_CASE("columns close up where they have no room") {
    CHECK(fitted("  main bus               -872 mV  protected", 20) ==
          "  main bus  -872 mV\n    protected");
}

TEST_CASE("a question keeps its blank at the end, for the answer") {
    CHECK(fitted("\n  Enter to read, or a word: ", 16) == "\n  Enter to read,\n    or a word: ");
}

TEST_CASE("no line is longer than the window") {
    const std::string text = "    one, twofold; and a word of unusual length: "
                             "antidisestablishmentarianism   (end)\n  x\n";
    for (std::size_t columns = 20; columns < 100; ++columns) {
        std::size_t length = 0;
        for (const char c : fitted(text, columns)) {
            length = c == '\n' ? 0 : length + 1;
            CHECK(length <= columns);
        }
    }
}

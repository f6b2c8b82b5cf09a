#include "web/qr_code.h"

#include <doctest/doctest.h>

using namespace quaycell::web;

TEST_CASE("the address of a page fits a terminal of 80 by 24") {
    const auto code = qr_code("http://192.168.100.200:65535/" + std::string(22, 'x') + '/');
    REQUIRE(code);
    std::size_t lines = 0;
    std::size_t blocks = 0;
    for (std::size_t i = 0; i < code->size(); ++i) {
        if ((*code)[i] == '\n') ++lines;
        if (code->compare(i, 3, "\xe2\x96\x80") == 0) ++blocks;
    }
    CHECK(lines <= 23);
    CHECK(blocks / lines <= 80);
    CHECK(blocks % lines == 0);
}

TEST_CASE("what no code holds is told") {
    CHECK_FALSE(qr_code(std::string(3000, 'x'))); // 2,953 bytes at most, ISO/IEC 18004
}

#include "dossier/bytes_aside.h"

#include <doctest/doctest.h>
#include <vector>

using namespace quaycell;

namespace {

void give(BytesAside& aside, std::string_view text) {
    aside.give({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
}

} // namespace

TEST_CASE("bytes that come in pieces of any size have been taken in order at the end") {
    std::string taken;
    BytesAside aside([&](std::string_view text) { taken += text; });
    std::string given;
    for (int i = 0; i < 300'000; ++i)
        given += std::to_string(i);
    for (std::size_t at = 0, size = 1; at < given.size(); at += size, size = size * 3 % 70'001)
        give(aside, std::string_view(given).substr(at, size));
    aside.finish();
    CHECK((taken == given));
}

TEST_CASE("few bytes are taken at the end, without another thread") {
    std::vector<std::thread::id> takers;
    BytesAside aside([&](std::string_view) { takers.push_back(std::this_thread::get_id()); });
    give(aside, "few");
    aside.finish();
    CHECK(takers == std::vector{std::this_thread::get_id()});
}

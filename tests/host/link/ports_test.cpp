#include "link/ports.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>

using namespace quaycell;

TEST_CASE("the ports of this computer are listed by path, each once, none opened") {
    const auto ports = list_ports();
    REQUIRE(ports);
    CHECK(std::ranges::is_sorted(*ports, std::ranges::less_equal{}, &PortInfo::path));
    for (const PortInfo& port : *ports) {
        CHECK(std::filesystem::exists(port.path));
        CHECK_FALSE(port.answers);
    }
}

#include "link/ports.h"

#include "archive/temporary_folder.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>

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

TEST_CASE("a system without a list of its ports has none that can be listed") {
    const test::TemporaryFolder folder;
    const auto ports = list_ports(folder / "no-such-list");
    REQUIRE(ports);
    CHECK(ports->empty());
}

TEST_CASE("a port is found again by its link, which stays when its path changes") {
    const test::TemporaryFolder folder;
    const std::string port = (folder / "ttyUSB0").string();
    const std::string link = (folder / "by-id" / "usb-adapter-0042").string();
    std::filesystem::create_directory(folder / "by-id");
    REQUIRE(std::ofstream(port));
    CHECK(lasting_name(port, folder / "by-id") == port);
    std::filesystem::create_symlink("../ttyUSB0", link);
    CHECK(lasting_name(port, folder / "by-id") == link);
    CHECK(lasting_name(link, folder / "by-id") == link);
    CHECK(lasting_name(port, folder / "no-such-folder") == port);
}

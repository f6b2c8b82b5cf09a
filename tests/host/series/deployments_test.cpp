#include "series/decode.h"

#include "records.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

constexpr std::uint32_t noon = 1777896000; // 2026-05-04T12:00:00Z
const LoggerFacts facts{0x2a, circuit, {}};

} // namespace

TEST_CASE("every arming begins a deployment, with the sector header before it") {
    const std::vector<RecordBytes> records{
        bytes_of(boot(1, noon, 1)),       bytes_of(sector_header(128, 5)),
        bytes_of(arm(129, 5, noon)),      bytes_of(reading(130, 10, 0)),
        bytes_of(reading(131, 20, 0)),    bytes_of(stop(132, 30)),
        bytes_of(sector_header(256, 40)), bytes_of(arm(257, 40, noon + 40)),
        bytes_of(reading(258, 50, 0)),
    };
    const auto found = deployments_of(records);
    REQUIRE(found.size() == 2);
    CHECK(found[0].number == 1);
    CHECK(found[0].first == 1);
    CHECK(found[0].count == 5);
    CHECK(found[0].readings == 2);
    CHECK(found[0].is_gapless());
    CHECK(found[0].armed_at == from_unix_s(noon));
    CHECK(found[0].interval_s == 10);
    CHECK(found[1].number == 2);
    CHECK(found[1].first == 6);
    CHECK(found[1].count == 3);
    const auto second = decode(std::span(records).subspan(found[1].first, found[1].count), facts);
    REQUIRE(second);
    CHECK(second->events.empty());
}

TEST_CASE("who asks for the records is given those of the newest deployment, from its header on") {
    struct Kept final : BytesTaker {
        std::vector<std::uint8_t> bytes;
        void take(std::span<const std::uint8_t> some) override {
            bytes.insert(bytes.end(), some.begin(), some.end());
        }
    };
    const std::vector<RecordBytes> records{
        bytes_of(boot(1, noon, 1)),       bytes_of(sector_header(128, 5)),
        bytes_of(arm(129, 5, noon)),      bytes_of(reading(130, 10, 0)),
        bytes_of(sector_header(256, 40)), bytes_of(arm(257, 40, noon + 40)),
        bytes_of(reading(258, 50, 0)),    bytes_of(reading(259, 60, 0)),
        bytes_of(sector_header(384, 70)),
    };
    DeploymentFinder finder([] { return std::make_shared<Kept>(); });
    for (const RecordBytes& record : records)
        finder.add(record);
    const auto found = std::move(finder).found();
    REQUIRE(found.size() == 2);
    CHECK_FALSE(found[0].taker);
    std::vector<std::uint8_t> expected;
    for (std::size_t i = found[1].first; i < found[1].first + found[1].count; ++i)
        expected.insert(expected.end(), records[i].begin(), records[i].end());
    CHECK(expected.size() == 5 * wire::record_size);
    CHECK(std::static_pointer_cast<Kept>(found[1].taker)->bytes == expected);
}

TEST_CASE("a deployment of which a record is lost is told from one that has all") {
    const auto found =
        deployments_of(std::vector{bytes_of(sector_header(256, 40)), bytes_of(reading(257, 50, 0)),
                                   bytes_of(reading(259, 60, 0))});
    REQUIRE(found.size() == 1);
    CHECK_FALSE(found[0].is_gapless());
}

TEST_CASE("a ring that has overwritten its arming is a deployment all the same") {
    const auto found = deployments_of(
        std::vector{bytes_of(sector_header(256, 40)), bytes_of(reading(257, 50, 0))});
    REQUIRE(found.size() == 1);
    CHECK(found[0].count == 2);
    CHECK(found[0].is_gapless());
    CHECK(found[0].interval_s == 60);
    CHECK_FALSE(found[0].armed_at);
}

TEST_CASE("a deployment whose arming is overwritten begins with its first record") {
    const auto found =
        deployments_of(std::vector{bytes_of(sector_header(256, 40)), bytes_of(reading(257, 50, 0)),
                                   bytes_of(clock_set(258, 60, noon + 55, noon + 60))});
    REQUIRE(found.size() == 1);
    CHECK(found[0].armed_at == from_unix_s(noon + 40));
}

TEST_CASE("an arming before the clock was set is dated by the setting that follows") {
    const auto found = deployments_of(std::vector{
        bytes_of(arm(0, 5, 0)), bytes_of(reading(1, 10, 0)), bytes_of(clock_set(2, 105, 0, noon))});
    REQUIRE(found.size() == 1);
    CHECK(found[0].armed_at == from_unix_s(noon - 100));
}

TEST_CASE("a logger that was never armed has no deployment") {
    CHECK(deployments_of(std::vector{bytes_of(boot(1, noon, 1))}).empty());
    CHECK(deployments_of({}).empty());
}

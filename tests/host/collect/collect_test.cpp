#include "collect/collect.h"

#include "collect/collector.h"
#include "collecting.h"

using namespace quaycell;
using namespace quaycell::test;

TEST_CASE_FIXTURE(Fixture, "all that the logger holds arrives verbatim, with what it is") {
    fake.first = 256;
    fake.slots = readings(3, 256, 5000);
    const CollectReport report = collected();
    CHECK(report.device == 77);
    CHECK(report.received == 5000);
    CHECK(report.added == 5000);
    CHECK(report.already_held == 0);
    CHECK(report.bad == 0);
    CHECK(report.gaps.empty());
    CHECK(archived() == fake.slots);
    const auto logger = archive.logger(77);
    REQUIRE(logger);
    CHECK(logger->circuit.converter_lsb_nv == 62500);
    CHECK_FALSE(logger->calibration);
    CHECK(archive.devices()->front().last_collected);
}

TEST_CASE_FIXTURE(Fixture, "collecting again asks for one known record and adds nothing") {
    fake.slots = readings(3, 0, 3000);
    collected();
    const CollectReport again = collected();
    CHECK(again.added == 0);
    CHECK(again.already_held == 3000);
    CHECK(slots_asked_for() == 1);
    CHECK(archived() == fake.slots);
}

TEST_CASE_FIXTURE(Fixture, "only what has come since is fetched") {
    fake.slots = readings(3, 0, 3000);
    collected();
    const auto more = readings(3, 3000, 20);
    fake.slots.insert(fake.slots.end(), more.begin(), more.end());
    const CollectReport report = collected();
    CHECK(report.added == 20);
    CHECK(report.already_held == 3000);
    CHECK(slots_asked_for() == 21);
    CHECK(archived() == fake.slots);
}

TEST_CASE_FIXTURE(Fixture, "progress counts up to what is missing") {
    fake.slots = readings(3, 0, 2000);
    std::uint64_t last = 0;
    REQUIRE(try_collect({}, [&](std::uint64_t done, std::uint64_t total) {
        CHECK(total == 2000);
        CHECK(done == ++last);
    }));
    CHECK(last == 2000);
}

TEST_CASE_FIXTURE(Fixture, "a torn slot becomes a gap and the rest arrives") {
    fake.slots = readings(3, 0, 300);
    fake.slots[100].fill(0xFF);
    fake.slots[101][20] ^= 0x10;
    fake.slots[200] = reading_record(2, 72); // what the ring held there before
    const CollectReport report = collected();
    CHECK(report.added == 297);
    CHECK(report.bad == 3);
    CHECK(report.gaps == Ranges{{100, 2}, {200, 1}});
    CHECK(archived().size() == 297);

    const CollectReport again = collected();
    CHECK(again.added == 0);
    CHECK(again.gaps == report.gaps);
}

TEST_CASE_FIXTURE(Fixture, "a slot that the logger has spent on purpose is no gap") {
    fake.slots = readings(3, 0, 300);
    fake.slots[100][20] ^= 0x10;
    fake.slots[101].fill(0);
    fake.slots[128].fill(0); // no logger spends a header's slot
    const CollectReport report = collected();
    CHECK(report.added == 297);
    CHECK(report.bad == 2);
    CHECK(report.gaps == Ranges{{100, 1}, {128, 1}});

    const CollectReport again = collected();
    CHECK(again.received == 0);
    CHECK(again.already_held == 297);
    CHECK(again.gaps == report.gaps);
}

namespace {

RecordBytes header_that_tells(std::uint32_t sequence, std::uint8_t skipped, std::uint8_t skips) {
    wire::SectorHeader header = {};
    header.head.kind = static_cast<std::uint8_t>(wire::RecordKind::sector_header);
    header.head.boot = 3;
    header.head.sequence = sequence;
    header.skipped = skipped;
    header.skips = skips;
    wire::seal(header);
    RecordBytes bytes;
    wire::to_bytes(header, bytes.data());
    return bytes;
}

} // namespace

TEST_CASE_FIXTURE(Fixture, "sectors that the logger passed over are no gaps, but are told of") {
    fake.slots = readings(3, 0, 1000);
    const auto blank = [this](std::uint32_t first, std::uint32_t end) {
        for (std::uint32_t s = first; s < end; ++s)
            fake.slots[s].fill(0xFF);
    };
    blank(256, 384);
    fake.slots[384] = header_that_tells(384, 1, 1);
    SUBCASE("whole") {
        const CollectReport report = collected();
        CHECK(report.added == 1000 - 128);
        CHECK(report.bad == 0);
        CHECK(report.gaps.empty());
        CHECK(report.worn_sectors == 1);
        CHECK(*archive.spent(77, 0, 1000) == Ranges{{256, 128}});
        const CollectReport again = collected();
        CHECK(again.received == 0);
        CHECK(again.already_held == 1000 - 128);
        CHECK(again.gaps.empty());
        CHECK(again.worn_sectors == 1);
    }
    SUBCASE("one that stands behind a record that was lost") {
        blank(255, 256);
        const CollectReport report = collected();
        CHECK(report.bad == 1);
        CHECK(report.gaps == Ranges{{255, 1}});
    }
    SUBCASE("the rest of one") {
        blank(700, 768);
        fake.slots[650].fill(0xFF);
        fake.slots[768] = header_that_tells(768, wire::rest_skipped, 2);
        const CollectReport report = collected();
        CHECK(report.bad == 1);
        CHECK(report.gaps == Ranges{{650, 1}});
        CHECK(report.worn_sectors == 2);
    }
    SUBCASE("the rest of one that is lost altogether") {
        blank(640, 768);
        fake.slots[768] = header_that_tells(768, wire::rest_skipped, 2);
        CHECK(collected().gaps == Ranges{{640, 128}});
    }
    SUBCASE("none, by a header of older firmware") {
        fake.slots[384] = header_that_tells(384, 0xFF, 0xFF);
        const CollectReport report = collected();
        CHECK(report.gaps == Ranges{{256, 128}});
        CHECK(report.worn_sectors == 0);
    }
}

TEST_CASE_FIXTURE(Fixture, "a memory whose last slot holds no record is not sent a second time") {
    fake.slots = readings(3, 0, 300);
    fake.slots[299].fill(0);
    CHECK(collected().added == 299);
    CHECK(collected().received == 0);
}

TEST_CASE_FIXTURE(Fixture,
                  "a line that breaks leaves a correct beginning, and the next time completes it") {
    fake.slots = readings(3, 0, 3000);
    bool broken = false;
    std::size_t said_in_all = 0;
    const auto report = try_collect([&](Bytes& said) {
        said_in_all += said.size();
        if (said_in_all > 60000) broken = true;
        if (broken) said.clear();
    });
    REQUIRE_FALSE(report);
    CHECK(report.error().code == ErrorCode::silent);
    const auto kept = archived();
    CHECK(kept.size() == 1024);
    CHECK(std::equal(kept.begin(), kept.end(), fake.slots.begin()));

    CHECK(collected().added == 3000 - 1024);
    CHECK(archived() == fake.slots);
}

TEST_CASE_FIXTURE(Fixture, "a line that breaks in the middle of a block loses none of what came") {
    fake.slots = readings(3, 0, 700);
    bool cut = false;
    const auto report = try_collect([&](Bytes& said) {
        if (cut) said.clear();
        if (said.size() < 2000) return;
        said.resize(2000);
        cut = true;
    });
    REQUIRE_FALSE(report);
    CHECK(archived().size() == 56); // 8 whole blocks of 234 bytes
}

TEST_CASE_FIXTURE(Fixture,
                  "a ring that overwrites its oldest while it is read leaves a gap, not an error") {
    fake.slots = readings(3, 0, 3000);
    const auto report = try_collect([&](Bytes& said) {
        if (said.size() < 1000 || fake.first != 0) return;
        // After the first block of slots the logger moves on by far.
        fake.slots.erase(fake.slots.begin(), fake.slots.begin() + 2000);
        fake.first = 2000;
    });
    REQUIRE(report);
    CHECK(report->added == 1024 + 1000);
    CHECK(report->gaps == Ranges{{1024, 976}});
}

TEST_CASE_FIXTURE(Fixture, "a logger that does not send what it said it has is an error") {
    fake.slots = readings(3, 0, 3000);
    const auto report = try_collect([&](Bytes& said) {
        if (said.size() > 1000) fake.slots.resize(1024);
    });
    REQUIRE_FALSE(report);
    CHECK(report.error().code == ErrorCode::failed);
    CHECK(archived().size() == 1024);
}

TEST_CASE_FIXTURE(Fixture,
                  "a logger with a new memory that counts its restarts on is collected whole") {
    fake.slots = readings(3, 0, 1000);
    collected();
    fake.slots = readings(4, 0, 600);
    const CollectReport report = collected();
    CHECK(report.added == 600);
    CHECK(archived().size() == 1600);
    CHECK(collected().added == 0);
}

TEST_CASE_FIXTURE(Fixture,
                  "a logger that begins all over is refused rather than mixed with its past") {
    fake.slots = readings(3, 0, 1000);
    collected();
    const auto before = archived();
    for (std::uint32_t i = 0; i < 1000; ++i)
        fake.slots[i] = reading_record(3, i, -1);
    const auto report = try_collect();
    REQUIRE_FALSE(report);
    CHECK(report.error().code == ErrorCode::refused);
    CHECK(archived() == before);
}

TEST_CASE_FIXTURE(Fixture, "the trouble of the line is reported") {
    fake.slots = readings(3, 0, 300);
    bool done = false;
    const auto report = try_collect([&](Bytes& said) {
        if (done || said.size() < 1000) return;
        done = true;
        said[600] ^= 0x20;
    });
    REQUIRE(report);
    CHECK(report->added == 300);
    CHECK(report->rejects.damaged() == 1);
}

TEST_CASE_FIXTURE(Fixture, "an empty logger is collected without a word") {
    const CollectReport report = collected();
    CHECK(report.received == 0);
    CHECK(report.gaps.empty());
}

TEST_CASE_FIXTURE(Fixture, "what is known to be torn is asked for twice at first and never again") {
    fake.slots = readings(3, 0, 300);
    fake.slots[100].fill(0xFF);
    collected();
    CHECK(slots_asked_for() == 301);
    const CollectReport again = collected();
    CHECK(slots_asked_for() == 1); // the newest, to see that it is the same log
    CHECK(again.bad == 0);
    CHECK(again.already_held == 299);
    CHECK(again.gaps == Ranges{{100, 1}});
}

TEST_CASE_FIXTURE(Fixture,
                  "a logger that restarts meanwhile is collected with what it wrote then") {
    fake.slots = readings(3, 0, 700);
    const auto report = try_collect([&](Bytes& said) {
        if (said.size() < 1000 || fake.hello.boot != 3) return;
        said.resize(600); // the power is cut in the middle of a block
        fake.hello.boot = 4;
        fake.slots.back().fill(0xA5); // the slot in flight
        const auto after = readings(4, 700, 3);
        fake.slots.insert(fake.slots.end(), after.begin(), after.end());
    });
    REQUIRE(report);
    CHECK(report->added == 702);
    CHECK(report->gaps == Ranges{{699, 1}});
}

TEST_CASE_FIXTURE(Fixture,
                  "a logger without a number of its own is refused, and told how it gets one") {
    fake.hello.device_id = 0xFFFFFFFF;
    fake.hello.faults |= wire::fault_identity;
    fake.slots = readings(3, 0, 50);
    const auto report = try_collect();
    REQUIRE_FALSE(report);
    CHECK(report.error().code == ErrorCode::refused);
    CHECK(report.error().what == "this logger has no number of its own");
    CHECK(report.error().remedy.find("device_number") != std::string::npos);
    CHECK(archive.devices()->empty());
}

TEST_CASE_FIXTURE(Fixture,
                  "a logger that says it holds more than it has room for is not believed") {
    fake.hello.sector_count = 2;
    fake.slots = readings(3, 0, 256);
    CHECK(try_collect());
    fake.slots = readings(3, 0, 257);
    const auto report = try_collect();
    REQUIRE_FALSE(report);
    CHECK(report.error().code == ErrorCode::damaged);
}

TEST_CASE_FIXTURE(Fixture, "a log that ends in a torn slot is not fetched again for that") {
    fake.slots = readings(3, 0, 3000);
    fake.slots.back().fill(0xA5);
    collected();
    CHECK(collected().added == 0);
    CHECK(slots_asked_for() == 1);
}

TEST_CASE_FIXTURE(Fixture, "only a block of 1024 slots is worth a faster line") {
    const auto collect_fast = [&] {
        auto logger = Logger::connect(fast_line_to(fake), quick);
        REQUIRE(logger);
        const auto report = collect(*logger, archive);
        REQUIRE(report);
        CHECK(fake.speed == 0);
        CHECK(archived() == fake.slots);
        return report->baud;
    };
    fake.slots = readings(3, 0, 1023);
    CHECK(collect_fast() == 115'200);
    CHECK(fake.speeds.empty());
    fake.slots = readings(3, 0, 1023 + 1024);
    CHECK(collect_fast() == 921'600);
    CHECK(fake.speeds == std::vector<std::uint8_t>{3, 0});
}

TEST_CASE_FIXTURE(Fixture, "whoever interrupts leaves the line at its first speed") {
    fake.slots = readings(3, 0, 1024);
    ArchiveWriter writer(archive);
    const Progress nobody_looks;
    Collector collector(writer, nobody_looks, [] { return true; });
    auto logger = Logger::connect(fast_line_to(fake), quick);
    REQUIRE(logger);
    const auto done = collector.run(*logger);
    REQUIRE_FALSE(done);
    CHECK(done.error().code == ErrorCode::interrupted);
    CHECK(fake.speeds == std::vector<std::uint8_t>{3, 0});
}

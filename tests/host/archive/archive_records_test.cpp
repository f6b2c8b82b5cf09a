#include "archive/archive.h"

#include "archive/temporary_folder.h"
#include "link/fake_logger.h"

#include <doctest/doctest.h>
#include <random>

using namespace quaycell;
using namespace quaycell::test;

namespace {

constexpr std::uint32_t device = 77;
using Ranges = std::vector<SequenceRange>;

struct Fixture {
    TemporaryFolder folder;
    Archive archive = Archive::open(folder / "a.quaycell", OpenMode::write_create).value();

    AddCounts add(const std::vector<SequencedRecord>& records) {
        const auto counts = archive.add(device, records);
        REQUIRE(counts);
        return *counts;
    }
    Ranges missing(std::uint32_t tail, std::uint32_t next) {
        const auto ranges = archive.missing(device, tail, next);
        REQUIRE(ranges);
        return *ranges;
    }
};

std::vector<SequencedRecord> run_of(std::uint16_t boot, std::uint32_t first, std::uint32_t count) {
    std::vector<SequencedRecord> records;
    for (std::uint32_t i = 0; i < count; ++i)
        records.push_back({first + i, reading_record(boot, first + i)});
    return records;
}

std::vector<SequencedRecord> operator+(std::vector<SequencedRecord> left,
                                       const std::vector<SequencedRecord>& right) {
    left.insert(left.end(), right.begin(), right.end());
    return left;
}

} // namespace

TEST_CASE_FIXTURE(Fixture, "records come back verbatim, by boot and number, sector after sector") {
    CHECK(add(run_of(2, 500, 300)).added == 300);
    CHECK(add(run_of(1, 0, 500)).added == 500);
    const auto records = archive.records(device);
    REQUIRE(records);
    REQUIRE(records->size() == 800);
    for (std::uint32_t i = 0; i < 800; ++i)
        CHECK((*records)[i] == reading_record(i < 500 ? 1 : 2, i));
    CHECK(archive.records(device + 1)->empty());
}

TEST_CASE_FIXTURE(Fixture, "which firmware recorded is told by what a restart wrote first") {
    wire::Boot boot{};
    boot.head = {static_cast<std::uint8_t>(wire::RecordKind::boot), 0, 2, 300, 0};
    boot.firmware_build = 0xABCD1234;
    wire::seal(boot);
    RecordBytes bytes;
    wire::to_bytes(boot, bytes.data());
    add(run_of(1, 0, 300) + std::vector<SequencedRecord>{{300, bytes}} + run_of(2, 301, 10));
    CHECK(archive.firmware_build(device, 2).value() == 0xABCD1234);
    CHECK_FALSE(archive.firmware_build(device, 1).value());
    CHECK_FALSE(archive.firmware_build(device, 3).value());
}

TEST_CASE_FIXTURE(Fixture, "adding twice changes nothing") {
    add(run_of(1, 0, 300));
    const AddCounts again = add(run_of(1, 0, 300));
    CHECK(again.added == 0);
    CHECK(again.already_held == 300);
    CHECK(archive.records(device)->size() == 300);
}

TEST_CASE_FIXTURE(Fixture, "overlapping and doubled pieces add only what is new") {
    add(run_of(1, 100, 50));
    const AddCounts over = add(run_of(1, 80, 100));
    CHECK(over.added == 50);
    CHECK(over.already_held == 50);
    const AddCounts doubled = add(run_of(1, 300, 5) + run_of(1, 300, 5));
    CHECK(doubled.added == 5);
    CHECK(doubled.already_held == 5);
    CHECK(archive.records(device)->size() == 105);
}

TEST_CASE_FIXTURE(Fixture, "a damaged record is counted and the rest is kept") {
    auto records = run_of(1, 0, 20);
    records[7].bytes[13] ^= 1;
    records[8].bytes.fill(0xFF);
    records[9].sequence = 4711; // a good record, but another one's
    const AddCounts counts = add(records);
    CHECK(counts.added == 17);
    CHECK(counts.bad == 3);
    CHECK(missing(0, 20) == Ranges{{7, 3}});
}

TEST_CASE_FIXTURE(Fixture, "pieces in any order and size give the same archive") {
    std::mt19937 random(4);
    const auto all = run_of(1, 1000, 700);
    for (int i = 0; i < 300; ++i) {
        const std::size_t from = random() % all.size();
        const std::size_t count = std::min<std::size_t>(random() % 200, all.size() - from);
        REQUIRE(archive.add(device, std::span(all).subspan(from, count)));
    }
    add(all);
    const auto records = archive.records(device);
    REQUIRE(records->size() == all.size());
    for (std::size_t i = 0; i < all.size(); ++i)
        CHECK((*records)[i] == all[i].bytes);
}

TEST_CASE_FIXTURE(Fixture, "another record under a number that is held is refused, all of it") {
    add(run_of(1, 0, 100));
    auto other = run_of(1, 100, 10);
    other.push_back({50, reading_record(1, 50, -1234)});
    const auto refused = archive.add(device, other);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::refused);
    CHECK(refused.error().what ==
          "logger 0000004d has another record under number 50 of restart 1 than the one that is "
          "held: it is another logger with the same number, or its counts have started over");
    CHECK(archive.records(device)->size() == 100);
    CHECK(add(run_of(1, 100, 10)).added == 10);
}

TEST_CASE_FIXTURE(Fixture, "what is missing lies between the logger's oldest and its next") {
    CHECK(missing(0, 0).empty());
    CHECK(missing(0, 1000) == Ranges{{0, 1000}});
    add(run_of(1, 100, 100));
    add(run_of(1, 300, 100));
    CHECK(missing(0, 1000) == Ranges{{0, 100}, {200, 100}, {400, 600}});
    CHECK(missing(150, 350) == Ranges{{200, 100}});
    CHECK(missing(120, 180).empty());
    CHECK(missing(500, 600) == Ranges{{500, 100}});
}

TEST_CASE_FIXTURE(Fixture, "what is missing across the wrap of the numbers") {
    add(run_of(1, 0xFFFFFF00, 256));
    CHECK(missing(0xFFFFFF80, 100) == Ranges{{0, 100}});
    add(run_of(1, 0, 50));
    CHECK(missing(0xFFFFFF80, 100) == Ranges{{50, 50}});
    CHECK(missing(10, 100) == Ranges{{50, 50}});
}

TEST_CASE_FIXTURE(Fixture,
                  "records of an earlier numbering do not hide what is missing of this one") {
    add(run_of(1, 0, 1000));
    add(run_of(2, 0, 200)); // the memory was replaced: boot 2 begins at 0 again
    CHECK(missing(0, 500) == Ranges{{200, 300}});
    CHECK(*archive.record(device, 50).value() == reading_record(2, 50));
}

TEST_CASE_FIXTURE(Fixture, "the newest record's number") {
    CHECK_FALSE(archive.highest_sequence(device).value());
    add(run_of(1, 0, 500));
    CHECK(archive.highest_sequence(device).value() == 499U);
    CHECK_FALSE(archive.record(device, 500).value());
}

TEST_CASE_FIXTURE(Fixture, "loggers do not get in each other's way") {
    add(run_of(1, 0, 10));
    REQUIRE(archive.add(device + 1, run_of(1, 0, 20)));
    CHECK(archive.records(device)->size() == 10);
    const auto devices = archive.devices();
    REQUIRE(devices);
    REQUIRE(devices->size() == 2);
    CHECK((*devices)[0].device == device);
    CHECK((*devices)[0].record_count == 10);
    CHECK((*devices)[1].record_count == 20);
    CHECK_FALSE((*devices)[0].last_collected);
}

TEST_CASE_FIXTURE(Fixture, "numbers known bad are not missing, but told as gaps") {
    add(run_of(1, 0, 100));
    add(run_of(1, 103, 97));
    REQUIRE(archive.put_known_bad(device, 1, {100, 3}, BadHow::torn, {}));
    CHECK(missing(0, 300) == Ranges{{200, 100}});
    CHECK(*archive.known_bad(device, 0, 300) == Ranges{{100, 3}});
    CHECK(*archive.known_bad(device, 101, 300) == Ranges{{101, 2}});
    CHECK(archive.known_bad(device, 150, 300)->empty());
    CHECK(archive.known_bad(device + 1, 0, 300)->empty());
}

TEST_CASE_FIXTURE(Fixture,
                  "a number that the logger has spent on purpose is not missing, and not lost") {
    add(run_of(1, 0, 100));
    REQUIRE(archive.put_known_bad(device, 2, {100, 1}, BadHow::torn, {}));
    REQUIRE(archive.put_known_bad(device, 2, {101, 1}, BadHow::spent, {}));
    add(run_of(2, 102, 10));
    CHECK(missing(0, 112).empty());
    CHECK(*archive.known_bad(device, 0, 112) == Ranges{{100, 1}});
    CHECK(*archive.spent(device, 0, 112) == Ranges{{101, 1}});
    CHECK(archive.spent(device, 102, 112)->empty());
}

TEST_CASE_FIXTURE(Fixture, "a number known bad twice, or held, is remembered once or not at all") {
    add(run_of(1, 0, 100));
    for (int i = 0; i < 2; ++i)
        REQUIRE(archive.put_known_bad(device, 1, {98, 4}, BadHow::overwritten, {}));
    CHECK(*archive.known_bad(device, 0, 300) == Ranges{{100, 2}});
    add(run_of(1, 100, 1)); // it turns up after all, in a copy of the flash
    CHECK(*archive.known_bad(device, 0, 300) == Ranges{{101, 1}});
    CHECK(missing(0, 102).empty());
}

TEST_CASE_FIXTURE(Fixture, "a bad number found out in a later boot does not hide earlier records") {
    add(run_of(1, 0, 50));
    add(run_of(2, 51, 50));
    REQUIRE(archive.put_known_bad(device, 3, {50, 1}, BadHow::torn, {}));
    CHECK(missing(0, 120) == Ranges{{101, 19}});
    CHECK(*archive.known_bad(device, 0, 120) == Ranges{{50, 1}});
}

TEST_CASE_FIXTURE(Fixture, "what was bad in an earlier numbering is asked for in this one") {
    add(run_of(1, 0, 100));
    REQUIRE(archive.put_known_bad(device, 1, {100, 5}, BadHow::torn, {}));
    add(run_of(2, 0, 50)); // the memory was replaced
    CHECK(missing(0, 200) == Ranges{{50, 150}});
    CHECK(archive.known_bad(device, 0, 200)->empty());
}

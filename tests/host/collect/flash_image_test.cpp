#include "collect/flash_image.h"

#include "archive/temporary_folder.h"
#include "link/fake_logger.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;

namespace {

constexpr std::uint32_t device = 77;
constexpr std::uint32_t sectors = 4;
constexpr std::uint32_t capacity = sectors * wire::slots_per_sector;
using Ranges = std::vector<SequenceRange>;

/// A flash as a logger leaves it: records from `first` to before `next`, blank elsewhere.
struct Flash {
    std::vector<std::uint8_t> bytes = std::vector<std::uint8_t>(capacity * wire::record_size, 0xFF);

    std::uint8_t* slot(std::uint32_t sequence) {
        return bytes.data() + sequence % capacity * std::size_t{wire::record_size};
    }
    void write_header(std::uint32_t sequence, std::uint32_t tail, std::uint32_t whose = device) {
        wire::SectorHeader header{};
        header.head = {static_cast<std::uint8_t>(wire::RecordKind::sector_header), 0, 3, sequence,
                       0};
        header.tail_sequence = tail;
        header.device_id = whose;
        wire::seal(header);
        wire::to_bytes(header, slot(sequence));
    }
    void write_log(std::uint32_t tail, std::uint32_t next) {
        for (std::uint32_t s = tail; s != next; ++s) {
            if (wire::is_sector_start(s))
                write_header(s, tail);
            else
                std::ranges::copy(reading_record(3, s), slot(s));
        }
    }
    FlashImage read() const {
        const auto image = read_flash_image(bytes, "flash.bin");
        REQUIRE(image);
        return *image;
    }
    std::string refused() const {
        const auto image = read_flash_image(bytes, "flash.bin");
        REQUIRE_FALSE(image);
        CHECK(image.error().code == ErrorCode::wrong_input);
        CHECK(image.error().where == "flash.bin");
        return image.error().what;
    }
};

} // namespace

TEST_CASE("every record that counts is found in a copy of the flash, wherever the ring stands") {
    for (const std::uint32_t tail : {0U, 128U, 384U, 0xFFFFFF80U}) {
        CAPTURE(tail);
        Flash flash;
        flash.write_log(tail, tail + 300);
        const FlashImage image = flash.read();
        CHECK(image.device == device);
        CHECK(image.boot == 3);
        CHECK(image.tail == tail);
        REQUIRE(image.slots.size() == 300);
        for (std::uint32_t i = 0; i < 300; ++i) {
            CHECK(image.slots[i].sequence == tail + i);
            CHECK(is_good(image.slots[i]));
        }
    }
}

TEST_CASE("what an earlier deployment left behind the tail does not count") {
    Flash flash;
    flash.write_log(0, 200);
    flash.write_log(256, 300);
    CHECK(flash.read().tail == 256);
    CHECK(flash.read().slots.size() == 44);
}

TEST_CASE("torn records and a lost header are gaps, and the rest is imported once") {
    Flash flash;
    flash.write_log(0, 300);
    flash.slot(50)[20] ^= 0x10;
    std::fill_n(flash.slot(128), wire::record_size, std::uint8_t{0});
    const TemporaryFolder folder;
    auto archive = Archive::open(folder / "a.quaycell", OpenMode::write_create);
    REQUIRE(archive);
    const auto imported = import_flash(*archive, flash.read());
    REQUIRE(imported);
    CHECK(imported->counts.added == 298);
    CHECK(imported->gaps == Ranges{{50, 1}, {128, 1}});
    CHECK(archive->missing(device, 0, 300)->empty());
    CHECK(import_flash(*archive, flash.read())->counts.added == 0);
    CHECK(archive->records(device)->size() == 298);
}

TEST_CASE("a slot that the logger has spent on purpose is no gap") {
    Flash flash;
    flash.write_log(0, 300);
    std::fill_n(flash.slot(50), wire::record_size, std::uint8_t{0});
    const TemporaryFolder folder;
    auto archive = Archive::open(folder / "a.quaycell", OpenMode::write_create);
    REQUIRE(archive);
    const auto imported = import_flash(*archive, flash.read());
    CHECK(imported->counts.bad == 0);
    CHECK(imported->gaps.empty());
    CHECK(*archive->spent(device, 0, 300) == Ranges{{50, 1}});
}

TEST_CASE("a header that nothing was written behind is not believed, as the logger does not") {
    Flash flash;
    flash.write_log(0, 200);
    flash.write_header(256, 256);
    CHECK(flash.read().tail == 0);
    CHECK(flash.read().slots.size() == 200);
}

TEST_CASE("a copy brings back what a collection knew to be bad") {
    Flash flash;
    flash.write_log(0, 300);
    const TemporaryFolder folder;
    auto archive = Archive::open(folder / "a.quaycell", OpenMode::write_create);
    REQUIRE(archive->put_known_bad(device, 3, {60, 2}, BadHow::torn, {}));
    const auto imported = import_flash(*archive, flash.read());
    CHECK(imported->counts.added == 300);
    CHECK(imported->gaps.empty());
}

TEST_CASE("what is no copy of one logger's whole flash is refused") {
    Flash flash;
    CHECK(flash.refused() == "this copy of a flash holds no log");
    SUBCASE("cut off") {
        flash.bytes.pop_back();
        CHECK(flash.refused() == "this is no copy of a whole flash");
    }
    SUBCASE("empty") {
        flash.bytes.clear();
        CHECK(flash.refused() == "this is no copy of a whole flash");
    }
    SUBCASE("three sectors") {
        flash.bytes.resize(std::size_t{3} * 4096);
        CHECK(flash.refused() == "this is no copy of a whole flash");
    }
    SUBCASE("a logger without number") {
        flash.write_log(0, 2);
        flash.write_header(0, 0, UINT32_MAX);
        CHECK(flash.refused() == "the logger of this flash has no number of its own");
    }
    SUBCASE("two loggers") {
        flash.write_log(0, 130);
        flash.write_header(0, 0, device + 1);
        CHECK(flash.refused() == "this flash holds the records of two loggers");
    }
    SUBCASE("a tail that cannot be") {
        flash.write_log(128, 130);
        flash.write_header(128, 256);
        CHECK(flash.refused() == "the newest sector tells of more records than the flash can hold");
    }
}

TEST_CASE(
    "a copy of another logger's flash with the same number is refused, an older copy is not") {
    const TemporaryFolder folder;
    auto archive = Archive::open(folder / "a.quaycell", OpenMode::write_create);
    REQUIRE(archive);
    std::vector<SequencedRecord> held;
    for (std::uint32_t s = 1000; s < 1100; ++s)
        held.push_back({s, reading_record(5, s)});
    REQUIRE(archive->add(device, held));
    Flash older;
    older.write_log(256, 500);
    CHECK(import_flash(*archive, older.read())); // of restart 3, and before what is held
    Flash other;
    other.write_log(1024, 1200);
    const auto refused = import_flash(*archive, other.read());
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::refused);
    CHECK(refused.error().where == "flash.bin");
    CHECK(refused.error().what.find("another logger with the same number") != std::string::npos);
}

#include "../judging/a_folder.h"
#include "dossier/record_comparison.h"
#include "judging/files.h"

#include <algorithm>
#include <cstring>
#include <doctest/doctest.h>
#include <vector>
#include <wire/record.h>

using namespace quaycell;
using test::AFolder;

namespace {

RecordBytes record(std::uint16_t boot, std::uint32_t sequence, std::uint8_t content = 0) {
    RecordBytes bytes{};
    wire::RecordHead head{};
    head.kind = 1;
    head.boot = boot;
    head.sequence = sequence;
    std::memcpy(bytes.data(), &head, sizeof head);
    bytes.back() = content;
    return bytes;
}

std::string bytes_of(const std::vector<RecordBytes>& records) {
    std::string bytes;
    for (const RecordBytes& each : records)
        bytes.append(reinterpret_cast<const char*>(each.data()), each.size());
    return bytes;
}

/// Those that are held come `at_once`.
std::string difference(const FileBytes& stated, const std::vector<RecordBytes>& held,
                       std::size_t at_once) {
    RecordComparison comparison(stated);
    const std::string bytes = bytes_of(held);
    const std::span all(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
    for (std::size_t from = 0; from < all.size(); from += at_once * wire::record_size)
        comparison.see(all.subspan(from, std::min(at_once * wire::record_size, all.size() - from)));
    return std::move(comparison).difference().value();
}

std::string difference(const std::vector<RecordBytes>& stated,
                       const std::vector<RecordBytes>& held) {
    const std::string one_by_one = difference(bytes_of(stated), held, 1);
    CHECK(difference(bytes_of(stated), held, 3) == one_by_one);
    return one_by_one;
}

} // namespace

TEST_CASE("records that an archive holds, with others before and after them, agree") {
    CHECK(difference({record(1, 5), record(1, 6), record(2, 7)},
                     {record(1, 4), record(1, 5), record(1, 6), record(2, 7), record(2, 8)})
              .empty());
    CHECK(difference({}, {record(1, 4)}).empty());
}

TEST_CASE("the first record that is gone, changed or left out is named") {
    CHECK(difference({record(1, 5), record(1, 6)}, {record(1, 5)}) ==
          "record 6 of restart 1 is not in the archive as it is here");
    CHECK(difference({record(1, 5), record(1, 6)}, {record(1, 5), record(1, 6, 9)}) ==
          "record 6 of restart 1 is not in the archive as it is here");
    CHECK(difference({record(1, 5), record(1, 7)}, {record(1, 5), record(1, 6), record(1, 7)}) ==
          "record 6 of restart 1 is in the archive, and not here");
    CHECK(difference({record(1, 5)}, {}) ==
          "record 5 of restart 1 is not in the archive as it is here");
    CHECK(difference({record(1, 6), record(1, 5)}, {record(1, 5), record(1, 6), record(1, 7)}) ==
          "record 5 of restart 1 is not in the archive as it is here");
}

TEST_CASE("of more records than are read at once the last counts as the first does") {
    constexpr std::uint32_t many = 20'000;
    std::vector<RecordBytes> held;
    for (std::uint32_t number = 1; number <= many; ++number)
        held.push_back(record(3, number));
    const AFolder folder("record_comparison_test-");
    const std::string file = folder.at("records-1.bin");
    REQUIRE(write_file(file, bytes_of(held)));
    const FileBytes stated = FileBytes::in(file).value();
    CHECK(difference(stated, held, 128).empty());
    held.back() = record(3, many, 1);
    CHECK(difference(stated, held, 128) ==
          "record 20000 of restart 3 is not in the archive as it is here");
    held[12'345] = record(3, 12'346, 1);
    CHECK(difference(stated, held, 128) ==
          "record 12346 of restart 3 is not in the archive as it is here");
}

TEST_CASE("records that cannot be read are no agreement") {
    RecordComparison comparison(FileBytes("/nowhere/records-1.bin", 32, "", nullptr));
    const auto found = std::move(comparison).difference();
    REQUIRE_FALSE(found);
    CHECK(found.error().where == "/nowhere/records-1.bin");
}

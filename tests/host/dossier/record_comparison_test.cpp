#include "dossier/record_comparison.h"

#include <cstring>
#include <doctest/doctest.h>
#include <vector>
#include <wire/record.h>

using namespace quaycell;

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

std::string difference(const std::vector<RecordBytes>& stated,
                       const std::vector<RecordBytes>& held) {
    std::string bytes;
    for (const RecordBytes& each : stated)
        bytes.append(reinterpret_cast<const char*>(each.data()), each.size());
    return first_difference_of_records(bytes, held);
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
}

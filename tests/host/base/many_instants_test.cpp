#include "base/many_instants.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("a reader of many instants reads each as it would be read alone") {
    InstantReader reader;
    for (const char* text :
         {"2026-05-04T06:00:00Z", "2026-05-04T23:59:59Z", "2026-05-04T06:00:61Z",
          "2026-05-04T24:00:00Z", "2026-05-04T06-00-00Z", "2026-05-04T06:00:0aZ",
          "2026-05-04T23:59:60Z", "2026-05-05T00:00:00Z", "2026-05-05T00:00:00.250Z",
          "2026-05-05T02:00:00+02:00", "2026-05-05t00:00:00z", "2026-05-05", "", "Z",
          "2026-05-05T00:00:00 ", "2026-02-30T00:00:00Z", "2026-05-05T12:34:56Z"}) {
        const auto alone = parse_instant(text);
        const auto read = reader.read(text);
        CAPTURE(text);
        REQUIRE(bool(read) == bool(alone));
        if (read)
            CHECK(*read == *alone);
        else
            CHECK(read.error().what == alone.error().what);
    }
}

TEST_CASE("a writer of many instants writes each as it would be written alone") {
    InstantWriter writer;
    std::string written, alone;
    for (const std::int64_t ms : std::initializer_list<std::int64_t>{
             1'777'874'400'000, 1'777'874'401'000, 1'777'874'401'250, 1'777'939'199'000,
             1'777'939'200'000, 1'777'874'400'000, -1'000, -86'400'001, 0}) {
        const Instant instant{Milliseconds{ms}};
        writer.append(written, instant);
        alone += to_text(instant);
    }
    CHECK(written == alone);
}

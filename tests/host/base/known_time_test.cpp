#include "base/known_time.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("a time is one of the years 1970 to 9999, however it is written") {
    // By hand: 2,932,896 days from 1970-01-01 to 9999-12-31 (8030 years, 1946 leap days less one).
    constexpr std::int64_t last_ms = 2'932'897 * std::int64_t{86'400'000} - 1;
    CHECK(parse_instant("9999-12-31T23:59:59.999Z").value() == from_unix_ms(last_ms).value());
    CHECK(from_unix_ms(0).value() == parse_instant("1970-01-01T00:00:00Z").value());
    for (const std::int64_t ms :
         {std::int64_t{-1}, last_ms + 1, std::int64_t{9'200'000'000'000'000'000}, INT64_MIN})
        CHECK(from_unix_ms(ms).error().code == ErrorCode::wrong_input);
    for (const char* text :
         {"1969-12-31T23:59:59Z", "1970-01-01T00:30:00+01:00", "0000-01-01T00:00:00Z",
          "9999-12-31T23:59:60Z", "9999-12-31T23:59:59-01:00"}) {
        CAPTURE(text);
        CHECK(parse_instant(text).error().what.find("before 1970 or after 9999") !=
              std::string::npos);
    }
}

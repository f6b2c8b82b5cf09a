#include "base/result.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("an error reads as place, cause and remedy") {
    CHECK(to_text({ErrorCode::in_use, "the port is in use", "/dev/ttyUSB0", "Close it there."}) ==
          "/dev/ttyUSB0: the port is in use. Close it there.");
    CHECK(to_text({ErrorCode::failed, "the disk is full", "", ""}) == "the disk is full.");
}

TEST_CASE("a user's mistake exits with 2, everything else with 1") {
    CHECK(exit_code({ErrorCode::wrong_usage, "", "", ""}) == 2);
    CHECK(exit_code({ErrorCode::wrong_input, "", "", ""}) == 2);
    CHECK(exit_code({ErrorCode::out_of_range, "", "", ""}) == 2);
    CHECK(exit_code({ErrorCode::unplugged, "", "", ""}) == 1);
}

TEST_CASE("asking a result for what it does not hold is a bug that is thrown") {
    const Result<int> number = 7;
    const Result<int> nothing = Error{ErrorCode::failed, "no", "", ""};
    CHECK(number.value() == 7);
    CHECK(nothing.error().what == "no");
    CHECK_THROWS_AS(static_cast<void>(nothing.value()), std::logic_error);
    CHECK_THROWS_AS(static_cast<void>(number.error()), std::logic_error);
}

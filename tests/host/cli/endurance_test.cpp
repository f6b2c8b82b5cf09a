#include "cli/endurance.h"

#include <doctest/doctest.h>

using namespace quaycell;
using std::chrono::days;
using std::chrono::seconds;

TEST_CASE("an empty memory holds readings, headers and an hourly check") {
    // 512 sectors of 127 records beside their headers, less Arm, Check and Stop: 65021. In an hour
    // at 10 s 360 readings and a check.
    CHECK(empty_memory_lasts(512, 10).count() ==
          doctest::Approx(65021.0 / 361 * 3600).epsilon(1e-4));
    // At an hour each reading has its check beside it.
    CHECK(empty_memory_lasts(512, 3600).count() ==
          doctest::Approx(65021.0 / 2 * 3600).epsilon(1e-4));
    CHECK(empty_memory_lasts(0, 10) == seconds{0});
}

TEST_CASE("the batteries last as the table says for the next shorter interval") {
    CHECK(battery_lasts(4600, 1) == days{221});
    CHECK(battery_lasts(4600, 9) == days{221});
    CHECK(battery_lasts(4600, 10) == days{336});
    CHECK(battery_lasts(4600, 3600) == days{503});
}

TEST_CASE("batteries at the regulator's limit are spent, and half way they last half as long") {
    CHECK(battery_share(3400) == 0);
    CHECK(battery_share(3000) == 0);
    CHECK(battery_share(4500) == 1);
    CHECK(battery_lasts(3950, 10).count() == doctest::Approx(seconds{days{336}}.count() / 2.0));
}

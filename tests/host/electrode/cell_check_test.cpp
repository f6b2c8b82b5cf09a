#include "electrode/cell_check.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Water sea(double low_psu = 35, double high_psu = 35) {
    Water water;
    water.salinity_psu = {low_psu, high_psu};
    return water;
}

CellFinding of_pair(double difference_mv) {
    return compare_cells(difference_mv)->finding;
}

CellFinding of_zinc(double potential_mv, Scale scale = Scale::agcl_seawater) {
    return compare_with_zinc(potential_mv, scale, sea())->finding;
}

} // namespace

TEST_CASE("Two cells within 5 mV are good, within 10 doubtful, beyond that one is bad") {
    CHECK(of_pair(0) == CellFinding::good);
    CHECK(of_pair(5) == CellFinding::good);
    CHECK(of_pair(-5) == CellFinding::good);
    CHECK(of_pair(5.1) == CellFinding::doubtful);
    CHECK(of_pair(-10) == CellFinding::doubtful);
    CHECK(of_pair(10.1) == CellFinding::rejected);
    CHECK(of_pair(-40) == CellFinding::rejected);
}

TEST_CASE("A clean zinc shows whether the cell is broken, never that it is good to 5 mV") {
    CHECK(of_zinc(-1030) == CellFinding::doubtful);
    CHECK(of_zinc(-1001) == CellFinding::doubtful);
    CHECK(of_zinc(-980) == CellFinding::rejected);
    CHECK(of_zinc(-1080) == CellFinding::rejected);
}

TEST_CASE("The zinc is looked at on agcl/seawater, whatever the cell") {
    // 0.316 V less 0.2545 V: a copper sulphate cell reads zinc 61.5 mV more negative at 15 degC.
    CHECK(of_zinc(-1091, Scale::cse) == CellFinding::doubtful);
    CHECK(of_zinc(-1030, Scale::cse) == CellFinding::rejected);
    CHECK(compare_with_zinc(-1091.5, Scale::cse, sea())->difference_mv ==
          doctest::Approx(0).scale(1).epsilon(1));
}

TEST_CASE("Zinc is no reference where it films over") {
    const auto brackish = compare_with_zinc(-1030, Scale::agcl_open, sea(10, 20));
    REQUIRE_FALSE(brackish);
    CHECK(brackish.error().code == ErrorCode::out_of_range);
    CHECK(brackish.error().what.find("10 PSU") != std::string::npos);
}

TEST_CASE("What is not a number compares with nothing") {
    CHECK_FALSE(compare_cells(NAN));
    CHECK_FALSE(compare_with_zinc(INFINITY, Scale::agcl_seawater, sea()));
}

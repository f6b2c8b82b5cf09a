#include "series/least_squares.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

/// To eleven digits, as the certified values are compared.
doctest::Approx certified(double value) {
    return doctest::Approx(value).epsilon(1e-11);
}

} // namespace

TEST_CASE("the Norris data give their certified line") {
    // NIST StRD, Norris: y, x (data and certified values transcribed, recomputed independently).
    constexpr double data[][2] = {{0.1, 0.2},     {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6},
                                  {9.2, 10.1},    {228.1, 226.5}, {668.5, 666.3}, {998.5, 996.3},
                                  {449.1, 448.6}, {778.9, 777.0}, {559.2, 558.2}, {0.3, 0.4},
                                  {0.1, 0.6},     {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0},
                                  {448.9, 447.5}, {10.8, 11.6},   {557.7, 556.0}, {228.3, 228.1},
                                  {998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {0.3, 0.3},
                                  {0.6, 0.3},     {557.6, 556.8}, {339.3, 339.1}, {888.0, 887.2},
                                  {998.5, 999.0}, {778.9, 779.0}, {10.2, 11.1},   {117.6, 118.3},
                                  {228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {0.2, 0.5}};
    constexpr Eigen::Index rows = std::size(data);
    static_assert(rows == 36);
    Eigen::MatrixXd design(rows, 2);
    Eigen::VectorXd value(rows);
    for (Eigen::Index i = 0; i < rows; ++i) {
        value(i) = data[i][0];
        design.row(i) << 1, data[i][1];
    }
    const LeastSquares fit = least_squares(design, value);
    CHECK(fit.determined);
    CHECK(fit.coefficient(0) == certified(-0.262323073774029));
    CHECK(fit.coefficient(1) == certified(1.00211681802045));
    CHECK(fit.standard_error(0) == certified(0.232818234301152));
    CHECK(fit.standard_error(1) == certified(4.29796848199937e-4));
    CHECK(fit.residual_deviation == certified(0.884796396144373));
    CHECK(fit.residual.squaredNorm() == certified(26.6173985294224));
}

TEST_CASE("a line through nothing but the origin has its certified slope") {
    // NIST StRD, NoInt1 (from memory, recomputed independently).
    Eigen::MatrixXd design(11, 1);
    Eigen::VectorXd value(11);
    for (Eigen::Index i = 0; i < 11; ++i) {
        design(i, 0) = 60 + static_cast<double>(i);
        value(i) = 130 + static_cast<double>(i);
    }
    const LeastSquares fit = least_squares(design, value);
    CHECK(fit.coefficient(0) == certified(2.07438016528926));
    CHECK(fit.standard_error(0) == certified(0.0165289256119754));
    CHECK(fit.residual_deviation == certified(3.56753034006338));

    // NoInt2, likewise.
    const LeastSquares short_fit =
        least_squares(Eigen::MatrixXd{{4}, {5}, {6}}, Eigen::VectorXd{{3, 4, 4}});
    CHECK(short_fit.coefficient(0) == certified(0.727272727272727));
    CHECK(short_fit.standard_error(0) == certified(0.0420827318078432));
    CHECK(short_fit.residual_deviation == certified(0.369274472937998));
}

TEST_CASE("columns that cannot be told apart determine nothing") {
    Eigen::MatrixXd design(5, 2);
    design.col(0).setLinSpaced(1, 5);
    design.col(1) = 2 * design.col(0);
    CHECK_FALSE(least_squares(design, Eigen::VectorXd::Ones(5)).determined);
    CHECK_FALSE(
        least_squares(Eigen::MatrixXd::Identity(2, 2), Eigen::VectorXd::Ones(2)).determined);
}

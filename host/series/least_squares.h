// Linear least squares.
#pragma once

#include <Eigen/Dense>

namespace quaycell {

struct LeastSquares {
    Eigen::VectorXd coefficient;
    Eigen::VectorXd standard_error; ///< for residuals that do not depend on one another
    Eigen::VectorXd residual;
    double residual_deviation; ///< with the degrees of freedom that are left
    bool determined;           ///< the columns can be told apart, and rows are left over
};

/// `design` has a row per value and a column per coefficient; by Householder QR with pivots.
LeastSquares least_squares(const Eigen::MatrixXd& design, const Eigen::VectorXd& value);

} // namespace quaycell

#include "series/least_squares.h"

#include <cmath>

namespace quaycell {

LeastSquares least_squares(const Eigen::MatrixXd& design, const Eigen::VectorXd& value) {
    LeastSquares fit;
    const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(design);
    const Eigen::Index columns = design.cols();
    const Eigen::Index freedom = design.rows() - columns;
    fit.determined = freedom > 0 && qr.rank() == columns;
    fit.coefficient = qr.solve(value);
    fit.residual = value - design * fit.coefficient;
    if (!fit.determined) return fit;
    fit.residual_deviation = std::sqrt(fit.residual.squaredNorm() / static_cast<double>(freedom));
    // The inverse of design' design by its triangular factor, in the pivots' order.
    const Eigen::MatrixXd inverse = qr.matrixR()
                                        .topLeftCorner(columns, columns)
                                        .triangularView<Eigen::Upper>()
                                        .solve(Eigen::MatrixXd::Identity(columns, columns));
    const Eigen::VectorXd pivoted = inverse.rowwise().norm() * fit.residual_deviation;
    fit.standard_error = qr.colsPermutation() * pivoted;
    return fit;
}

} // namespace quaycell

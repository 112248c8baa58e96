#include "math/search_order.hpp"

#include <algorithm>

#include "math/allowed.hpp"

namespace shimwise {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

void require_fit(const MatrixXd& A, const VectorXd& b) {
    require(A.cols() > 0 && A.rows() == b.size(), "integer least squares: A and b do not fit together");
    require(A.allFinite() && b.allFinite(), "integer least squares: a coefficient is not a finite number");
}

namespace {

/// (A'A)^-1 of columns of unit length, and these lengths. Throws where the columns depend on each other.
struct Spread {
    MatrixXd inverse_gram;
    VectorXd norms;
};

Spread spread(const MatrixXd& A, const VectorXd& b) {
    Spread s{{}, A.colwise().norm()};
    require(s.norms.minCoeff() > 0.0, "integer least squares: a column is zero, add a ridge");
    const LeastSquares unit_columns = least_squares(A * s.norms.cwiseInverse().asDiagonal(), b);
    require(unit_columns.rank == A.cols(), "integer least squares: columns depend on each other, add a ridge");
    s.inverse_gram = unit_columns.inverse.lazyProduct(unit_columns.inverse.transpose());
    return s;
}

/// Columns in the order of the QR; the last is chosen first. From the last place to the first: the column that stands
/// farthest from the span of those still to be placed (Foschini et al. 1999), so that early choices cost the most. That
/// distance is 1 / root of the diagonal of the inverse Gram matrix, from which a column that is placed is eliminated.
std::vector<Index> search_order(Spread s, const VectorXd& spacing) {
    const Index n = spacing.size();
    MatrixXd& inverse = s.inverse_gram;
    std::vector<Index> order, open;
    VectorXd column(n);
    const auto eliminate = [&](Index i) {
        column = inverse.col(i);
        for (Index j = 0; j < n; ++j) inverse.col(j) -= column * (column(j) / column(i));
    };
    for (Index i = 0; i < n; ++i) {
        (spacing(i) > 0.0 ? open : order).push_back(i);  // settled ones come first
        if (!(spacing(i) > 0.0)) eliminate(i);
    }
    const VectorXd weight = s.norms.cwiseProduct(spacing).array().square();
    while (!open.empty()) {
        const auto farthest = std::min_element(open.begin(), open.end(), [&](Index i, Index j) {
            return inverse(i, i) * weight(j) < inverse(j, j) * weight(i);
        });
        const Index placed = *farthest;
        order.push_back(placed);
        open.erase(farthest);
        eliminate(placed);
    }
    std::reverse(order.begin(), order.end());
    return order;
}

}  // namespace

bool independent(const MatrixXd& A) {
    const VectorXd norms = A.colwise().norm();
    if (!(norms.minCoeff() > 0.0)) return false;
    return least_squares(A * norms.cwiseInverse().asDiagonal(), VectorXd::Zero(A.rows())).rank == A.cols();
}

void require_independent(const MatrixXd& A) { spread(A, VectorXd::Zero(A.rows())); }

Ordered ordered(const MatrixXd& A, const VectorXd& b, const VectorXd& spacing) {
    std::vector<Index> order = search_order(spread(A, b), spacing);
    Triangle found = triangle(A(Eigen::all, order), b);
    return {std::move(order), std::move(found)};
}

}  // namespace shimwise

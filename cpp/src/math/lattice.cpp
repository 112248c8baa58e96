#include "math/lattice.hpp"

#include <cmath>

#include "math/decompositions.hpp"

namespace shimwise {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

MatrixXd reduced_lattice(const MatrixXd& B) {
    constexpr double lovasz = 0.99;
    const Index n = B.cols();
    MatrixXd R = triangle(B, VectorXd::Zero(B.rows())).R, U = MatrixXd::Identity(n, n);
    const Index most = 200 * n * n;  // rounding must not make it endless
    Index k = 1;
    for (Index step = 0; k < n && step < most; ++step) {
        for (Index j = k - 1; j >= 0; --j) {
            const double times = std::round(R(j, k) / R(j, j));
            if (times == 0.0) continue;
            R.col(k).head(j + 1) -= times * R.col(j).head(j + 1);
            U.col(k) -= times * U.col(j);
        }
        const double length = std::hypot(R(k - 1, k), R(k, k));
        if (!(length * length < lovasz * R(k - 1, k - 1) * R(k - 1, k - 1))) {
            ++k;
            continue;
        }
        U.col(k - 1).swap(U.col(k));
        R.col(k - 1).swap(R.col(k));
        const double cosine = R(k - 1, k - 1) / length, sine = R(k, k - 1) / length;
        const MatrixXd two = R.middleRows(k - 1, 2).rightCols(n - k + 1);
        R.middleRows(k - 1, 1).rightCols(n - k + 1) = cosine * two.row(0) + sine * two.row(1);
        R.middleRows(k, 1).rightCols(n - k + 1) = cosine * two.row(1) - sine * two.row(0);
        R(k, k - 1) = 0.0;
        k = std::max<Index>(k - 1, 1);
    }
    return U;
}

}  // namespace shimwise

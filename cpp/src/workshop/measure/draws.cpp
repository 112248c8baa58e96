#include "workshop/measure/draws.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <stdexcept>

namespace shimwise {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

MatrixXd drawn(const SheetModel& model, const Draws& draws, const std::vector<Spread InputQuantity::*>& parts) {
    std::mt19937_64 random(draws.seed);
    std::uniform_real_distribution<double> digit(-0.5, 0.5);
    std::normal_distribution<double> normal;
    MatrixXd values(static_cast<Index>(draws.count), model.values(model.at()).size());
    for (Index draw = 0; draw < values.rows(); ++draw) {
        VectorXd x = model.at();
        for (std::size_t i = 0; i < model.inputs().size(); ++i)
            for (const auto part : parts) {
                const Spread& off = model.inputs()[i].*part;
                x(static_cast<Index>(i)) += off.last_digit * digit(random) + off.normal * normal(random);
            }
        values.row(draw) = model.values(x);
    }
    if (!values.allFinite()) throw std::domain_error("no finite values within the spread");
    return values;
}

Uncertain spread_of(const MatrixXd& draws) {
    const VectorXd mean = draws.colwise().mean();
    const MatrixXd off = draws.rowwise() - mean.transpose();
    return {mean, off.transpose().lazyProduct(off) / static_cast<double>(draws.rows() - 1)};
}

Eigen::MatrixX2d within(MatrixXd draws, double share) {
    Eigen::MatrixX2d ends(draws.cols(), 2);
    const auto last = static_cast<double>(draws.rows() - 1);
    const auto below = static_cast<Index>(std::lround(0.5 * (1.0 - share) * last));
    for (Index c = 0; c < draws.cols(); ++c) {
        auto column = draws.col(c);
        std::sort(column.begin(), column.end());
        ends(c, 0) = column(below);
        ends(c, 1) = column(draws.rows() - 1 - below);
    }
    return ends;
}

}  // namespace shimwise

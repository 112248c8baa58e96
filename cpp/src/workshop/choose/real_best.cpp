#include "workshop/choose/real_best.hpp"

#include <cmath>

#include "math/box_relaxation.hpp"
#include "math/decompositions.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr std::array<double, 6> weights = {10.0, 3.0, 1.0, 0.3, 0.1, 0.03};  // of what is kept, beside what is asked
constexpr double inside = 1.0 + 1e-6;

}  // namespace

RealBest real_best(const MatrixXd& A, const VectorXd& b, const std::vector<AllowedValues>& lists) {
    if (A.cols() == 0) return {VectorXd(0), b.squaredNorm()};
    const Triangle t = triangle(A, b);
    VectorXd lower(A.cols()), upper(A.cols()), x(A.cols());
    for (Index m = 0; m < A.cols(); ++m) {
        lower(m) = lists[static_cast<std::size_t>(m)].front();
        upper(m) = lists[static_cast<std::size_t>(m)].back();
        x(m) = std::clamp(0.0, lower(m), upper(m));
    }
    BoxRelaxation relax(t.R);
    const Relaxed found = relax(t.y, lower, upper, x);
    return {x, found.cost + t.rest};
}

std::vector<std::size_t> must_go(const WholeLinear& linear, const std::vector<Wanted>& wanted,
                                 const std::vector<AllowedValues>& lists) {
    std::vector<std::size_t> kept;
    for (std::size_t w = 0; w < wanted.size(); ++w)
        if (wanted[w].can_go()) kept.push_back(w);
    if (kept.empty()) return {};
    const Index rows = linear.A.rows();
    MatrixXd A(rows + static_cast<Index>(kept.size()), linear.A.cols());
    VectorXd b(A.rows());
    A.topRows(rows) = linear.A;
    b.head(rows) = linear.b;
    std::vector<std::size_t> go;
    for (const double weight : weights) {
        for (std::size_t k = 0; k < kept.size(); ++k) {
            const Wanted& one = wanted[kept[k]];
            const auto w = static_cast<Index>(kept[k]);
            A.row(rows + static_cast<Index>(k)) = weight / one.scale * linear.effect.row(w);
            b(rows + static_cast<Index>(k)) = weight / one.scale * (*one.kept_at().value - linear.then_0(w));
        }
        const VectorXd x = real_best(A, b, lists).x;
        const VectorXd then = linear.then_0 + linear.effect * x;
        go.clear();
        bool met = true;
        for (std::size_t w = 0; w < wanted.size(); ++w) {
            const Wanted& one = wanted[w];
            const auto off = [&](const Target& of) {
                return std::fabs(then(static_cast<Index>(w)) - *of.value) / one.scale;
            };
            if (one.in_cost() && one.target.value) met = met && off(one.target) <= inside;
            if (one.can_go() && !(off(one.kept_at()) <= inside)) go.push_back(w);
        }
        if (met) return go;
    }
    return go;
}

}  // namespace shimwise

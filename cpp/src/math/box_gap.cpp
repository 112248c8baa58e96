#include "math/box_gap.hpp"

#include <algorithm>
#include <cmath>

#include "math/box_relaxation.hpp"
#include "math/decompositions.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr int most_sweeps = 40;
constexpr double least_progress = 1e-3;  // of the squared distance, in one sweep
constexpr double rounding = 1e-14;       // of the terms of a sum
constexpr double ridge = 1e-6;           // of a unit column: what is left open stays where it is

/// By how much an output is beyond its window, with the sign of the end that it is beyond.
double beyond(double u, double low, double high) { return u > high ? u - high : u < low ? u - low : 0.0; }

struct Slope {
    double value = 0.0;
    double curvature = 0.0;
};

/// Of half the squared distance by one unknown, at the outputs u + step column.
Slope slope(const Windows& w, const VectorXd& u, Index i, double step) {
    Slope s;
    for (Index r = 0; r < u.size(); ++r) {
        const double a = w.A(r, i), off = beyond(u(r) + step * a, w.low(r), w.high(r));
        s.value += a * off;
        if (off != 0.0) s.curvature += a * a;
    }
    return s;
}

void descend(const Windows& w, const Box& box, VectorXd& x, VectorXd& u) {
    for (Index i = 0; i < x.size(); ++i) {
        if (!(box.upper(i) > box.lower(i))) continue;
        const Slope here = slope(w, u, i, 0.0);
        if (!(here.curvature > 0.0)) continue;
        double step = std::clamp(x(i) - here.value / here.curvature, box.lower(i), box.upper(i)) - x(i);
        // A row that binds on the way turns the slope round: the chord stays between.
        const double there = slope(w, u, i, step).value;
        if (there * here.value < 0.0) step *= here.value / (here.value - there);
        x(i) = std::clamp(x(i) + step, box.lower(i), box.upper(i));
        u += step * w.A.col(i);
    }
}

}  // namespace

BoxGap box_gap(const Windows& w, const Box& box, double enough, VectorXd& x) {
    BoxGap best;
    x = x.cwiseMax(box.lower).cwiseMin(box.upper);
    VectorXd u = w.A * x, y(u.size());
    double before = 0.0;
    for (int sweep = 0; sweep <= most_sweeps; ++sweep) {
        double held = 0.0, terms = 0.0;
        for (Index r = 0; r < u.size(); ++r) {
            y(r) = beyond(u(r), w.low(r), w.high(r));
            if (y(r) == 0.0) continue;
            const double end = y(r) * (y(r) > 0.0 ? w.high(r) : w.low(r));
            held += end;
            terms += std::abs(end);
        }
        const double squared = y.squaredNorm(), norm = std::sqrt(squared);
        if (!(norm > 0.0)) return best;
        const VectorXd pull = w.A.transpose() * y;
        double reached = 0.0;
        for (Index i = 0; i < x.size(); ++i) {
            const double a = pull(i) * box.lower(i), b = pull(i) * box.upper(i);
            reached += std::min(a, b);
            terms += std::max(std::abs(a), std::abs(b));
        }
        const double distance = (reached - held - rounding * terms) / norm;
        if (distance > best.distance) best = {distance, y / norm};
        if (best.distance > enough || (sweep > 0 && !(before - squared > least_progress * before))) break;
        before = squared;
        descend(w, box, x, u);
    }
    return best;
}

bool out_of_reach(const Windows& w, const Box& box, double enough) {
    const Index rows = w.A.rows(), n = w.A.cols();
    if (rows == 0 || n == 0) return false;
    // Unknowns x / size and a point v of the windows: |A x - v|^2 is least.
    VectorXd size = w.A.colwise().norm();
    for (double& s : size) s = s > 0.0 ? 1.0 / s : 1.0;
    const VectorXd most = w.A.cwiseAbs() * box.lower.cwiseAbs().cwiseMax(box.upper.cwiseAbs());
    VectorXd lower(n + rows), upper(n + rows);
    lower << box.lower.cwiseQuotient(size), w.low.cwiseMax(-most).cwiseMin(w.high);
    upper << box.upper.cwiseQuotient(size), w.high.cwiseMin(most).cwiseMax(w.low);
    Eigen::MatrixXd A = Eigen::MatrixXd::Zero(2 * rows + n, n + rows);
    A.topLeftCorner(rows, n) = w.A * size.asDiagonal();
    A.topRightCorner(rows, rows) = -Eigen::MatrixXd::Identity(rows, rows);
    A.bottomRows(n + rows) = ridge * Eigen::MatrixXd::Identity(n + rows, n + rows);
    VectorXd z = 0.5 * (lower + upper);
    const Triangle t = triangle(A, VectorXd::Zero(A.rows()));
    BoxRelaxation(t.R)(t.y, lower, upper, z);
    VectorXd x = size.cwiseProduct(z.head(n));
    return box_gap(w, box, enough, x).distance > enough;
}

}  // namespace shimwise

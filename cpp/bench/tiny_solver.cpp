#include "tiny_solver.hpp"

#include <Eigen/LU>

#include "ceres/tiny_solver.h"
#include "ceres/tiny_solver_autodiff_function.h"
#include "shimwise/units.hpp"

namespace bench {
namespace {

using shimwise::Length;
using shimwise::Point;

/// Costs below this leave every length within 5e-10 mm.
constexpr double most_cost = 0.5 * 5e-10 * 5e-10;

template <class T>
using Vector3 = Eigen::Matrix<T, 3, 1>;

Eigen::Vector3d vector(const shimwise::Vec3<double>& v) { return {v.x, v.y, v.z}; }

/// The rotation about p by twice atan |p|, which needs no sine: 1 + 2 / (1 + p.p) (p x + p x p x) (Cayley).
template <class T>
Eigen::Matrix<T, 3, 3> rotation(const T* p) {
    const T xx = p[0] * p[0], yy = p[1] * p[1], zz = p[2] * p[2];
    const T s = 2.0 / (1.0 + xx + yy + zz);
    const T x = s * p[0], y = s * p[1], z = s * p[2];
    const T xy = x * p[1], xz = x * p[2], yz = y * p[2];
    Eigen::Matrix<T, 3, 3> r;
    r << 1.0 - s * (yy + zz), xy - z, xz + y,  //
        xy + z, 1.0 - s * (xx + zz), yz - x,   //
        xz - y, yz + x, 1.0 - s * (xx + yy);
    return r;
}

struct Link {
    Eigen::Vector3d chassis;
    Eigen::Vector3d upright;  // from the wheel centre, as drawn
    double length;
};

/// Unknowns: the upright's rotation from drawn (3) and its wheel centre (3). Residuals in mm: five lengths, the height.
struct Closure {
    std::array<Link, 5> links;
    Eigen::Vector3d wheel_axis;
    double radius, half_width, offset;
    double height = 0.0;

    template <class T>
    bool operator()(const T* x, T* residual) const {
        const Eigen::Matrix<T, 3, 3> r = rotation(x);
        const Vector3<T> centre(x[3], x[4], x[5]);
        for (std::size_t i = 0; i < links.size(); ++i) {
            const Link& link = links[i];
            const Vector3<T> between = r * link.upright + centre - link.chassis;
            residual[i] = (between.squaredNorm() - link.length * link.length) * (0.5 / link.length);
        }
        const T lean = r.row(2) * wheel_axis;
        const double edge = offset + (lean > 0.0 ? -half_width : half_width);
        residual[5] = centre.z() + lean * edge - radius * sqrt(1.0 - lean * lean) - height;
        return true;
    }
};

/// Keeps the derivatives of the last solve, for the implicit function theorem.
struct Recorded {
    using Scalar = double;
    enum { NUM_RESIDUALS = 6, NUM_PARAMETERS = 6 };
    using Matrix = Eigen::Matrix<double, 6, 6>;

    const Closure& closure;
    ceres::TinySolverAutoDiffFunction<Closure, 6, 6> function{closure};
    mutable Matrix jacobian;

    bool operator()(const double* x, double* residual, double* derivative) const {
        const bool done = function(x, residual, derivative);
        if (derivative) jacobian = Eigen::Map<const Matrix>(derivative);
        return done;
    }
};

}  // namespace

struct TinySolverCorner::Problem {
    Closure closure;
    Recorded function{closure, ceres::TinySolverAutoDiffFunction<Closure, 6, 6>(closure), {}};
    ceres::TinySolver<Recorded> solver;
    Eigen::Matrix<double, 6, 1> x = Eigen::Matrix<double, 6, 1>::Zero();
    double left;
};

TinySolverCorner::TinySolverCorner(const shimwise::Setup& setup) : problem_(std::make_unique<Problem>()) {
    const shimwise::Geometry& g = setup.geometry;
    const shimwise::Parts<double> parts = setup.parts();
    const Eigen::Vector3d centre = vector(parts.at(Point::wheel_centre));
    const auto link = [&](Point chassis, Point upright, Length length) {
        return Link{vector(parts.at(chassis)), vector(parts.at(upright)) - centre, parts.at(length)};
    };
    Problem& p = *problem_;
    p.closure.links = {
        link(Point::upper_wishbone_front, Point::upper_wishbone_outer, Length::upper_wishbone_front_leg),
        link(Point::upper_wishbone_rear, Point::upper_wishbone_outer, Length::upper_wishbone_rear_leg),
        link(Point::lower_wishbone_front, Point::lower_wishbone_outer, Length::lower_wishbone_front_leg),
        link(Point::lower_wishbone_rear, Point::lower_wishbone_outer, Length::lower_wishbone_rear_leg),
        link(Point::track_rod_inner, Point::track_rod_outer, Length::track_rod),
    };
    p.closure.wheel_axis = vector(g.wheel_axis);
    p.closure.radius = g.wheel_radius_mm;
    p.closure.half_width = g.half_width_mm;
    p.closure.offset = g.offset_mm;
    p.left = g.left;
    p.x.tail<3>() = centre;
    // Newton as pure as it comes: no damping to speak of, and nothing but the residual says when to stop.
    p.solver.options.initial_trust_region_radius = 1e16;
    p.solver.options.gradient_tolerance = 0.0;
    p.solver.options.parameter_tolerance = 0.0;
    p.solver.options.function_tolerance = 0.0;
    p.solver.options.cost_threshold = most_cost;
}
TinySolverCorner::~TinySolverCorner() = default;

TinySolverCorner::State TinySolverCorner::operator()(double contact_height_mm) {
    Problem& p = *problem_;
    p.closure.height = contact_height_mm;
    p.solver.Solve(p.function, &p.x);

    Eigen::Matrix<double, 6, 1> pull = Eigen::Matrix<double, 6, 1>::Zero();
    pull[4] = 1.0;  // what one mm of track rod takes from its residual
    const Eigen::Matrix<double, 6, 1> x_per_mm = p.function.jacobian.partialPivLu().solve(pull);

    using Jet = ceres::Jet<double, 3>;
    const Jet turned[3] = {Jet(p.x[0], 0), Jet(p.x[1], 1), Jet(p.x[2], 2)};
    const Vector3<Jet> axis = rotation(turned) * p.closure.wheel_axis;
    const Jet toe = atan(axis.x() / (p.left * axis.y())) * shimwise::deg_per_rad;
    const Jet camber = atan(-axis.z() / (p.left * axis.y())) * shimwise::deg_per_rad;
    return {toe.a, camber.a, toe.v.dot(x_per_mm.head<3>()), camber.v.dot(x_per_mm.head<3>())};
}

double TinySolverCorner::residual_mm() const {
    Eigen::Matrix<double, 6, 1> residual;
    problem_->closure(problem_->x.data(), residual.data());
    return residual.cwiseAbs().maxCoeff();
}

}  // namespace bench

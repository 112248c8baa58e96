// Sums of forces and moments for the tests of forces, assembled from a result alone.
#pragma once

#include <algorithm>
#include <vector>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "shimwise/motion/forces.hpp"

namespace corners {

/// Forces and moments on one body add up to nothing. Moments are taken about a place that no equation uses.
class Balance {
public:
    void add(const Vec3<double>& at, const Vec3<double>& force) {
        force_ = force_ + force;
        moment_ = moment_ + cross(at - about_, force);
    }
    void add_moment(const Vec3<double>& moment) { moment_ = moment_ + moment; }
    /// Both sums, moments over `lever_mm`.
    double left_over(double lever_mm = 250.0) const { return length(force_) + length(moment_) / lever_mm; }

private:
    Vec3<double> about_{37.0, 410.0, 190.0};
    Vec3<double> force_, moment_;
};

inline Vec3<double> at_joint(const std::vector<JointForce>& forces, Point p) {
    const auto found = std::find_if(forces.begin(), forces.end(), [p](const JointForce& f) { return f.point == p; });
    REQUIRE(found != forces.end());
    return found->force_N;
}

}  // namespace corners

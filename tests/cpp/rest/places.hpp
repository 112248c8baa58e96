// Where a standing car's contacts and weights are, over plumb: from its joints and by rotation matrices, with nothing
// of the energy.
#pragma once

#include <Eigen/Geometry>
#include <algorithm>
#include <vector>

#include "rest/cars.hpp"

namespace places {

using namespace shimwise;

inline Eigen::Vector3d vec(const Vec3<double>& v) { return {v.x, v.y, v.z}; }

/// Axes of a body through three of its points.
inline Eigen::Matrix3d triad(const Vec3<double>& a, const Vec3<double>& b, const Vec3<double>& c) {
    const Eigen::Vector3d x = (vec(b) - vec(a)).normalized();
    const Eigen::Vector3d z = x.cross(vec(c) - vec(a)).normalized();
    Eigen::Matrix3d axes;
    axes << x, z.cross(x), z;
    return axes;
}

/// Pitch about y, nose down, after the roll about x, left side up; the share of the twist turns with the roll.
struct Chassis {
    ChassisPose pose;

    Eigen::Matrix3d turn(double share) const {
        return (Eigen::AngleAxisd(pose.pitch_rad, Eigen::Vector3d::UnitY()) *
                Eigen::AngleAxisd(pose.roll_rad + share * pose.twist_rad, Eigen::Vector3d::UnitX()))
            .toRotationMatrix();
    }
    Eigen::Vector3d operator()(const Vec3<double>& at, double share) const {
        return turn(share) * vec(at) + Eigen::Vector3d(0.0, 0.0, pose.height_mm);
    }
};

/// A force along plumb at a place. `share`: of the twist that turns it.
struct Pressed {
    Eigen::Vector3d at;
    double down_N = 0.0;
    double share = 0.0;
};

struct Places {
    std::vector<Pressed> weights, contacts;

    std::vector<Pressed> all() const {
        std::vector<Pressed> both = weights;
        both.insert(both.end(), contacts.begin(), contacts.end());
        return both;
    }
};

inline double half(std::size_t corner) { return corner < 2 ? 0.5 : -0.5; }

/// Lowest point of the rim, the middle of its width where it is upright, by turning the disc's edge: centre, less the
/// radius along what is left of plumb in its plane.
inline Eigen::Vector3d lowest(const Geometry& g, const Eigen::Vector3d& centre, const Eigen::Vector3d& axis,
                              const Eigen::Vector3d& up) {
    const Eigen::Vector3d in_plane = (up - axis * axis.dot(up)).normalized();
    const auto on_edge = [&](double outboard) -> Eigen::Vector3d {
        return centre + axis * (g.offset_mm + outboard) - in_plane * g.wheel_radius_mm;
    };
    if (std::fabs(up.dot(axis)) < std::sin(0.02 * rad_per_deg)) return on_edge(0.0);
    const Eigen::Vector3d inner = on_edge(-g.half_width_mm), outer = on_edge(g.half_width_mm);
    return up.dot(inner) < up.dot(outer) ? inner : outer;
}

/// Of the twist, what a place on the chassis turns by: half of it at the front axle line and ahead, minus half of it at
/// the rear axle line and behind, in proportion between.
inline double share_at(const RestModel& m, double x_mm) {
    const auto rear_x = [&](CornerId c) { return m.car[c].at(Point::wheel_centre).x; };
    const double middle = 0.25 * (rear_x(CornerId::rear_left) + rear_x(CornerId::rear_right));
    return std::min(0.5, std::max(-0.5, 0.5 * (middle - x_mm) / middle));
}

inline Places of(const RestModel& m, const RestState& state) {
    Places p;
    const Chassis chassis{state.pose};
    for (const Weight& w : m.weights) {
        const double share = share_at(m, w.at_mm.x);
        p.weights.push_back({chassis(w.at_mm, share), w.kg * gravity_m_per_s2, share});
    }
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Corner& corner = m.car.corners[c];
        const Setup& setup = m.setups[c];
        const Parts<double> set = setup.parts();
        const Linkage<double> l = linkage(setup.geometry, set);
        const Pose<double> now = pose(l, state.corners[c].half_tan);
        const auto at = joints(set, l, now, strut(l, now));
        const auto joint = [&](Point point) { return at[index(point)]; };
        const auto upright = [](const auto& points) {
            return triad(points[index(Point::lower_wishbone_outer)], points[index(Point::upper_wishbone_outer)],
                         points[index(Point::track_rod_outer)]);
        };
        const Eigen::Matrix3d moved = upright(at) * upright(set.points).transpose();
        const Eigen::Vector3d low = vec(joint(Point::lower_wishbone_outer));
        const Eigen::Vector3d cg = corner.unsprung_cg_mm
                                       ? Eigen::Vector3d(low + moved * (vec(*corner.unsprung_cg_mm) -
                                                                        vec(set.at(Point::lower_wishbone_outer))))
                                       : vec(joint(Point::wheel_centre));
        const Eigen::Matrix3d turn = chassis.turn(half(c));
        const Eigen::Vector3d height(0.0, 0.0, state.pose.height_mm);
        p.weights.push_back({turn * cg + height, corner.unsprung_kg * gravity_m_per_s2, half(c)});
        const Eigen::Vector3d contact = lowest(setup.geometry, vec(joint(Point::wheel_centre)),
                                               moved * vec(corner.wheel_axis), turn.transpose().col(2));
        p.contacts.push_back(
            {turn * contact + height, -state.values.loads[c][index(CornerLoad::weight)] * gravity_m_per_s2, half(c)});
    }
    return p;
}

}  // namespace places

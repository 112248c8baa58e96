// A standing car -> its values, for every scalar: the pose over plumb, half tangents, loads and settings carry
// derivatives.
#pragma once

#include "shimwise/math/best_plane.hpp"
#include "shimwise/math/sine.hpp"
#include "shimwise/rest/solve.hpp"
#include "shimwise/units.hpp"

namespace shimwise {

/// Up along plumb in the coordinates of what is turned by pitch, then roll.
template <class T>
Vec3<T> plumb_up(const T& pitch, const T& roll) {
    const T level = cos(pitch);
    return {-sin(pitch), level * sin(roll), level * cos(roll)};
}

/// To plumb axes (z up along plumb, x the chassis' x laid level) from what is turned by pitch, then roll.
template <class T>
Vec3<T> over_plumb(const T& pitch, const T& roll, const Vec3<T>& v) {
    const T y = v.y * cos(roll) - v.z * sin(roll);
    const T z = v.y * sin(roll) + v.z * cos(roll);
    return {v.x * cos(pitch) + z * sin(pitch), y, z * cos(pitch) - v.x * sin(pitch)};
}

/// And back.
template <class T>
Vec3<T> in_body(const T& pitch, const T& roll, const Vec3<T>& v) {
    const T z = v.x * sin(pitch) + v.z * cos(pitch);
    return {v.x * cos(pitch) - v.z * sin(pitch), v.y * cos(roll) + z * sin(roll), z * cos(roll) - v.y * sin(roll)};
}

/// Share of the twist that a corner turns by.
inline double share_of(std::size_t corner) { return corner < 2 ? 0.5 : -0.5; }

template <class T>
struct Standing {
    T height, pitch, roll, twist;
    std::array<T, corner_count> half_tan, load_N, pad_mm;

    T roll_of(double share) const { return roll + twist * share; }
    Vec3<T> place(const Vec3<T>& at, double share) const {
        const Vec3<T> turned = over_plumb(pitch, roll_of(share), at);
        return {turned.x, turned.y, turned.z + height};
    }
};

/// Best plane of the pads: least squares of their heights along plumb over the present contacts; plumb axes.
template <class T>
struct PadPlane {
    T level;
    Vec3<T> normal;  // unit

    T height(const Vec3<T>& at) const { return dot(normal, at) - level * normal.z; }
};

template <class T>
PadPlane<T> pad_plane(const std::array<Vec3<T>, corner_count>& contacts, const std::array<T, corner_count>& pads) {
    const auto [level, along_x, along_y, spread] = best_plane(contacts, pads);
    const T upright = 1.0 / sqrt(square(along_x) + square(along_y) + 1.0);
    return {level, {-along_x * upright, -along_y * upright, upright}};
}

/// What a corner adds to the car's values; loads are those of its strut at this length.
template <class T>
struct CornerValues {
    Outputs<T> outputs;
    T spring_N, rubber_N;
    T bar_rad;
    Vec3<T> third;
    T inclination_to_plumb_deg;
};

template <class T>
T arc_sine(const T& x) {
    return atan(x / sqrt(1.0 - square(x)));
}

template <class T>
struct Ground : PadPlane<T> {
    std::array<Vec3<T>, corner_count> plumb;  // in the coordinates of each corner's half
};

/// The ground under a standing car; `corners[c].contact(plumb)` is a contact in its half's coordinates.
template <class T, class Corner>
Ground<T> ground_under(const Standing<T>& s, const std::array<Corner, corner_count>& corners) {
    Ground<T> ground;
    std::array<Vec3<T>, corner_count> contacts;
    for (std::size_t c = 0; c < corner_count; ++c) {
        ground.plumb[c] = plumb_up(s.pitch, s.roll_of(share_of(c)));
        contacts[c] = s.place(corners[c].contact(ground.plumb[c]), share_of(c));
    }
    static_cast<PadPlane<T>&>(ground) = pad_plane(contacts, s.pad_mm);
    return ground;
}

/// `corners[c].values(normal, plumb)` are a corner's values over the ground, whose normal is in its half's coordinates,
/// as plumb is: each wheel touches its own level pad, whatever the ground.
template <class T, class Corner>
RestValues<T> values_of(const RestModel& m, const Standing<T>& s, const Ground<T>& ground,
                        const std::array<Corner, corner_count>& corners) {
    RestValues<T> v;
    const auto set = [&v](CarOutput o, const T& x) { v.car[index(o)] = x; };

    const Vec3<T> normal = in_body(s.pitch, s.roll, ground.normal);
    set(CarOutput::height, ground.height(Vec3<T>(T(0.0), T(0.0), s.height)));
    set(CarOutput::pitch, arc_sine(-normal.x) * deg_per_rad);
    set(CarOutput::roll, atan(normal.y / normal.z) * deg_per_rad);
    set(CarOutput::twist, s.twist * deg_per_rad);

    std::array<CornerValues<T>, corner_count> corner;
    for (std::size_t c = 0; c < corner_count; ++c) {
        corner[c] = corners[c].values(in_body(s.pitch, s.roll_of(share_of(c)), ground.normal), ground.plumb[c]);
        v.corners[c] = corner[c].outputs;
        v.loads[c] = {s.load_N[c] * (1.0 / gravity_m_per_s2), corner[c].spring_N, corner[c].rubber_N,
                      corner[c].inclination_to_plumb_deg};
    }

    std::vector<Vec3<T>> points;
    points.reserve(m.car.ride_heights.size());
    v.ride_heights_mm.reserve(m.car.ride_heights.size());
    for (const RideHeightPoint& point : m.car.ride_heights) {
        points.push_back(s.place(Vec3<T>(point.at_mm), m.share(point.at_mm)));
        v.ride_heights_mm.push_back(ground.height(points.back()));
    }
    if (!m.rake.empty()) {
        const auto middle = [&](const std::array<std::size_t, 2>& pair) {
            return (points[pair[0]] + points[pair[1]]) * 0.5;
        };
        const Vec3<T> front = middle(m.rake[0]), rear = middle(m.rake[1]);
        const T rake = ground.height(rear) - ground.height(front);
        set(CarOutput::rake, rake);
        set(CarOutput::rake_angle, arc_sine(rake / sqrt(squared(rear - front))) * deg_per_rad);
    }

    const auto kg = [&v](CornerId c) -> const T& { return v.loads[index(c)][index(CornerLoad::weight)]; };
    const T &fl = kg(CornerId::front_left), &fr = kg(CornerId::front_right);
    const T &rl = kg(CornerId::rear_left), &rr = kg(CornerId::rear_right);
    const T percent = 100.0 / (fl + fr + rl + rr);
    set(CarOutput::cross_weight, (fr + rl) * percent);
    set(CarOutput::front_share, (fl + fr) * percent);
    set(CarOutput::left_share, (fl + rl) * percent);
    set(CarOutput::front_difference, fl - fr);
    set(CarOutput::rear_difference, rl - rr);

    const auto toe = [&v](CornerId c) -> const T& { return v.corners[index(c)][index(Output::toe)]; };
    set(CarOutput::total_toe_front, toe(CornerId::front_left) + toe(CornerId::front_right));
    set(CarOutput::total_toe_rear, toe(CornerId::rear_left) + toe(CornerId::rear_right));
    set(CarOutput::thrust_angle, (toe(CornerId::rear_left) - toe(CornerId::rear_right)) * 0.5);

    for (std::size_t axle = 0; axle < 2; ++axle) {
        const CornerValues<T>&left = corner[2 * axle], &right = corner[2 * axle + 1];
        if (m.riders[2 * axle].has_bar)
            v.car[index(CarOutput::front_bar_torque) + axle] =
                (left.bar_rad - right.bar_rad) * (m.car.bars[axle]->rate_Nm_per_deg * deg_per_rad);
        if (m.riders[2 * axle].has_third) {
            const T apart = sqrt(squared(left.third - right.third));
            v.car[index(CarOutput::front_third_load) + axle] =
                positive(m.third_squeeze(axle, apart)) * m.car.thirds[axle]->rate_N_per_mm;
        }
    }
    return v;
}

}  // namespace shimwise

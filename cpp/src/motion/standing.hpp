// A standing car -> its values, for every scalar: the pose over plumb, the arms, loads and settings carry derivatives.
#pragma once

#include "shimwise/math/sine.hpp"
#include "shimwise/motion/rest.hpp"
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

inline double plain(double x) { return x; }
template <class Block, std::size_t N, class Tag>
double plain(const Dual<Block, N, Tag>& x) {
    return x.value();
}

template <class T>
struct Standing {
    T height, pitch, roll, twist;
    std::array<T, corner_count> arm, load_N, pad_mm;
    std::array<std::vector<T>, corner_count> amounts_mm;

    T roll_of(double share) const { return roll + twist * share; }
    Vec3<T> place(const Vec3<T>& at, double share) const {
        const Vec3<T> turned = over_plumb(pitch, roll_of(share), at);
        return {turned.x, turned.y, turned.z + height};
    }
};

/// Share of the twist that a corner turns by.
inline double share_of(std::size_t corner) { return corner < 2 ? 0.5 : -0.5; }

/// Best plane of the pads: z = level + slope_x x + slope_y y, least squares of their heights along plumb over the present
/// contacts; its unit normal, plumb axes.
template <class T>
struct PadPlane {
    T level;
    Vec3<T> normal;

    T height(const Vec3<T>& at) const { return dot(normal, at) - level * normal.z; }
};

template <class T>
PadPlane<T> pad_plane(const std::array<Vec3<T>, corner_count>& contacts, const std::array<T, corner_count>& pads) {
    Vec3<T> mean = (contacts[0] + contacts[1] + contacts[2] + contacts[3]) * 0.25;
    mean.z = (pads[0] + pads[1] + pads[2] + pads[3]) * 0.25;
    T xx(0.0), xy(0.0), yy(0.0), xz(0.0), yz(0.0);
    for (std::size_t c = 0; c < corner_count; ++c) {
        const T x = contacts[c].x - mean.x, y = contacts[c].y - mean.y, z = pads[c] - mean.z;
        xx = xx + x * x;
        xy = xy + x * y;
        yy = yy + y * y;
        xz = xz + x * z;
        yz = yz + y * z;
    }
    const T inverse = 1.0 / (xx * yy - xy * xy);
    const T along_x = (xz * yy - yz * xy) * inverse, along_y = (yz * xx - xz * xy) * inverse;
    const T upright = 1.0 / sqrt(square(along_x) + square(along_y) + 1.0);
    return {mean.z - along_x * mean.x - along_y * mean.y, {-along_x * upright, -along_y * upright, upright}};
}

/// Plumb axes to the coordinates of what is turned by pitch, then roll.
template <class T>
Vec3<T> in_body(const T& pitch, const T& roll, const Vec3<T>& v) {
    const T z = v.x * sin(pitch) + v.z * cos(pitch);
    return {v.x * cos(pitch) - v.z * sin(pitch), v.y * cos(roll) + z * sin(roll), z * cos(roll) - v.y * sin(roll)};
}

template <class T>
T arc_sine(const T& x) {
    return atan(x / sqrt(1.0 - square(x)));
}

template <class T>
struct StandingCorner {
    Parts<T> parts;
    Linkage<T> linkage;
    Pose<T> pose;
    Strut<T> strut;
    Riding<T> riding;
};

template <class T>
RestValues<T> values_of(const RestModel& m, const Standing<T>& s) {
    RestValues<T> v;
    const auto set = [&v](CarOutput o, const T& x) { v.car[index(o)] = x; };
    const auto at = [&v](CarOutput o) -> T& { return v.car[index(o)]; };

    std::array<StandingCorner<T>, corner_count> corners;
    std::array<Vec3<T>, corner_count> contacts;
    for (std::size_t c = 0; c < corner_count; ++c) {
        StandingCorner<T>& k = corners[c];
        k.parts = parts(m.setups[c].geometry, s.amounts_mm[c].data(), T(m.setups[c].rack_mm));
        k.linkage = linkage(m.setups[c].geometry, k.parts);
        k.pose = pose(k.linkage, s.arm[c]);
        k.strut = strut(k.linkage, k.pose);
        k.riding = riding(m.riders[c], k.parts, k.linkage, k.pose, k.strut);
        const T roll = s.roll_of(share_of(c));
        contacts[c] = s.place(contact(k.linkage, k.pose, plumb_up(s.pitch, roll)), share_of(c));
    }
    const PadPlane<T> ground = pad_plane(contacts, s.pad_mm);

    for (std::size_t c = 0; c < corner_count; ++c) {
        const StandingCorner<T>& k = corners[c];
        const Vec3<T> normal = in_body(s.pitch, s.roll_of(share_of(c)), ground.normal);
        v.corners[c] = outputs(k.linkage, k.pose, k.strut, frame_over(normal));

        const T& platform = k.parts.at(Length::spring_platform);
        const T& length = k.strut.spring_length;
        const StrutLoad load = strut_load(m.car.corners[c], plain(platform), plain(length));
        const auto about = [](const T& x) { return x - plain(x); };
        v.loads[c][index(CornerLoad::spring_load)] =
            load.spring_N + (about(platform) - about(length)) * load.spring_N_per_mm;
        v.loads[c][index(CornerLoad::rubber_load)] = load.rubber_N - about(length) * load.rubber_N_per_mm;
        v.loads[c][index(CornerLoad::weight)] = s.load_N[c] * (1.0 / gravity_m_per_s2);
    }

    const Vec3<T> normal = in_body(s.pitch, s.roll, ground.normal);
    set(CarOutput::height, ground.height(Vec3<T>(T(0.0), T(0.0), s.height)));
    set(CarOutput::pitch, arc_sine(-normal.x) * deg_per_rad);
    set(CarOutput::roll, atan(normal.y / normal.z) * deg_per_rad);
    set(CarOutput::twist, s.twist * deg_per_rad);

    std::vector<Vec3<T>> points;
    for (const RideHeightPoint& point : m.car.ride_heights) {
        points.push_back(s.place(Vec3<T>(point.at_mm), m.share(point.at_mm)));
        v.ride_heights_mm.push_back(ground.height(points.back()));
    }
    if (!m.rake.empty()) {
        const auto middle = [&](const std::array<std::size_t, 2>& pair) {
            return (points[pair[0]] + points[pair[1]]) * 0.5;
        };
        const Vec3<T> front = middle(m.rake[0]), rear = middle(m.rake[1]);
        set(CarOutput::rake, ground.height(rear) - ground.height(front));
        set(CarOutput::rake_angle, arc_sine(at(CarOutput::rake) / sqrt(squared(rear - front))) * deg_per_rad);
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
        const Riding<T>&left = corners[2 * axle].riding, &right = corners[2 * axle + 1].riding;
        if (const auto& bar = m.car.bars[axle]; bar && bar->connected)
            v.car[index(CarOutput::front_bar_torque) + axle] =
                (left.bar_rad - right.bar_rad) * (bar->rate_Nm_per_deg * deg_per_rad);
        if (const auto& third = m.car.thirds[axle]; third) {
            const T apart = sqrt(squared(left.third - right.third));
            v.car[index(CarOutput::front_third_load) + axle] =
                positive(m.third_squeeze(axle, apart)) * third->rate_N_per_mm;
        }
    }
    return v;
}

}  // namespace shimwise

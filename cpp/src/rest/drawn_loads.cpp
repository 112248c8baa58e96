#include "rest/drawn_loads.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numeric>
#include <utility>

#include "math/decompositions.hpp"
#include "rest/system.hpp"
#include "shimwise/motion/unreached.hpp"

namespace shimwise {
namespace {

constexpr int most_fits = 60;  // each brings what is left down by a factor of ten or more
constexpr double fits_mm = 1e-11;
constexpr double scales_fit_mm = 1e-8;  // of a centre of gravity: loads are no better known than this

/// The car as drawn, every spring without load.
RestModel drawn_without_springs(Car car) {
    for (Corner& corner : car.corners) {
        corner.spring.rests_as_drawn = false;
        corner.spring.load_at_drawn_N = 0.0;
    }
    RestModel m = with_loads_given(car);
    for (Setup& setup : m.setups) std::fill(setup.amounts_mm.begin(), setup.amounts_mm.end(), 0.0);
    return m;
}

struct Drawn {
    rest_system::Posture at;
    PadHeights pads_mm{};  // where its wheels touch: level to how far the drawing's four contacts lie in one plane
    std::array<Vec3<double>, corner_count> contacts, unsprung;  // plumb axes
};

/// The drawn car on level ground: corners as drawn, the chassis where its four contacts come nearest to one height.
Drawn drawn_on_the_level(const RestModel& m) {
    Drawn d;
    for (int i = 0; i < most_fits; ++i) {
        const ChassisPose& pose_now = d.at.pose;
        const Vec3<double> up = plumb_up(pose_now.pitch_rad, pose_now.roll_rad);
        const auto in_plumb = [&](const Vec3<double>& at) {
            const Vec3<double> v = over_plumb(pose_now.pitch_rad, pose_now.roll_rad, at);
            return Vec3<double>(v.x, v.y, v.z + pose_now.height_mm);
        };
        std::array<double, corner_count> under_mm{};
        for (std::size_t c = 0; c < corner_count; ++c) {
            const Parts<double> parts = m.setups[c].parts();
            const Linkage<double> l = linkage(m.setups[c].geometry, parts);
            const Pose<double> p = pose(l, 0.0);
            const Strut<double> s = strut(l, p);
            d.contacts[c] = in_plumb(contact(l, p, up));
            d.unsprung[c] = in_plumb(riding(m.riders[c], parts, l, p, s).unsprung_cg);
            d.pads_mm[c] = d.contacts[c].z;
            under_mm[c] = -d.contacts[c].z;
        }
        const PadPlane<double> plane = pad_plane(d.contacts, under_mm);
        const double nose_down = plane.normal.x / plane.normal.z, left_up = -plane.normal.y / plane.normal.z;
        if (std::fabs(plane.level) + (std::fabs(nose_down) + std::fabs(left_up)) * mm_per_m < fits_mm) break;
        d.at.pose.height_mm += plane.level;
        d.at.pose.pitch_rad += nose_down;
        d.at.pose.roll_rad += left_up;
    }
    return d;
}

/// Four loads that carry all weights, with this share of them on front right and rear left.
Eigen::Vector4d drawn_contact_loads(const RestModel& m, const Drawn& d, double cross_share) {
    Eigen::Vector3d all = Eigen::Vector3d::Zero();
    const auto take = [&](double kg, const Vec3<double>& at) {
        all += Eigen::Vector3d(1.0, at.x, at.y) * (kg * gravity_m_per_s2);
    };
    for (const Weight& weight : m.weights)
        take(weight.kg, over_plumb(d.at.pose.pitch_rad, d.at.pose.roll_rad, weight.at_mm));
    Eigen::Matrix4d A;
    for (std::size_t c = 0; c < corner_count; ++c) {
        take(m.car.corners[c].unsprung_kg, d.unsprung[c]);
        const bool crosses = c == index(CornerId::front_right) || c == index(CornerId::rear_left);
        A.col(static_cast<Eigen::Index>(c)) << 1.0, d.contacts[c].x, d.contacts[c].y, crosses ? 1.0 : 0.0;
    }
    return solve_square(A, Eigen::Vector4d(all(0), all(1), all(2), all(0) * cross_share));
}

/// The springs' loads as drawn: with N the load at a contact and V all energy but the springs', the force along the
/// strut is (V_t - N H_t) / L_t by the half tangent t.
Car with_resting_springs(Car car, double cross_share) {
    const RestModel m = drawn_without_springs(car);
    const Drawn d = drawn_on_the_level(m);
    const Eigen::Vector4d load_N = drawn_contact_loads(m, d, cross_share);
    const SetCorners set = set_corners(m);
    const rest_system::System without = system(m, set, d.at, d.pads_mm);
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Up up(turn(d.at.pose.pitch_rad, d.at.pose.roll_rad));
        const CornerJets<newton_locals> jets = corner_jets(m, c, numbers_at(set[c], d.at.half_tan[c]), up);
        const double lever = jets.height.by[by_half_tan] / jets.spring_length.by[by_half_tan];
        const double spring_N = (without.load_N[c] - load_N(static_cast<Eigen::Index>(c))) * lever;
        if (!std::isfinite(spring_N))
            throw OutOfReach(std::string(corner_names[c]) +
                             " does not reach as it is built: the load of its spring as drawn cannot be found");
        if (spring_N < 0.0) {
            char text[120];
            std::snprintf(text, sizeof text,
                          ": to stand as drawn (spring.rests_as_drawn) the spring would have to pull with %.1f N",
                          -spring_N);
            throw Unreached(
                std::string(corner_names[c]) + text,
                {.what = Obstacle::spring_would_pull, .corner = static_cast<CornerId>(c), .by_N = -spring_N});
        }
        car.corners[c].spring.load_at_drawn_N = spring_N;
        car.corners[c].spring.rests_as_drawn = false;
    }
    return car;
}

/// The car as it was set on the scales.
RestModel on_the_scales(Car car, const Weighing& weighing) {
    car.bars = weighing.bars;
    RestModel m = with_loads_given(car);
    for (std::size_t c = 0; c < corner_count; ++c) m.setups[c].amounts_mm = weighing.amounts_mm[c];
    return m;
}

/// Centre of gravity, and cross weight as drawn where springs rest as drawn, for which the car, set as it was weighed
/// and on level pads, puts what was read on its scales: moved by what the scales still miss, until they are met; the
/// cross weight by more than that where a chassis that twists lets only a share of it arrive.
Car with_scales_met(Car car) {
    const Weighing weighing = *std::exchange(car.mass.weighing, std::nullopt);
    const double scale = car.mass.total_kg / std::accumulate(weighing.kg.begin(), weighing.kg.end(), 0.0);
    const bool resting = !load_is_given(car.corners[0]);
    double cross_share = 0.5, arrives = 1.0, cross_before = 0.0, cross_step = 0.0;
    Vec3<double> cg_mm = {0.5 * car[CornerId::rear_left].at(Point::wheel_centre).x, 0.0, car.mass.cg_height_mm};
    for (int i = 0; i < most_fits; ++i) {
        car.mass.cg_mm = cg_mm;
        Car given = resting ? with_resting_springs(car, cross_share) : car;
        const RestState state = rest(on_the_scales(given, weighing));
        Vec3<double> missed;
        double missed_cross = 0.0;
        for (std::size_t c = 0; c < corner_count; ++c) {
            const double off_kg = weighing.kg[c] * scale - state.values.loads[c][index(CornerLoad::weight)];
            const double half_roll = state.pose.roll_rad + state.pose.twist_rad * share_of(c);
            missed = missed + over_plumb(state.pose.pitch_rad, half_roll, state.corners[c].contact_mm) * off_kg;
            if (c == index(CornerId::front_right) || c == index(CornerId::rear_left)) missed_cross += off_kg;
        }
        missed = missed * (1.0 / car.mass.total_kg);
        missed_cross = resting ? missed_cross / car.mass.total_kg : 0.0;
        if (std::hypot(missed.x, missed.y) < scales_fit_mm && std::fabs(missed_cross) * mm_per_m < scales_fit_mm)
            return given;
        cg_mm = {cg_mm.x + missed.x, cg_mm.y + missed.y, cg_mm.z};
        if (i > 1 && std::fabs(cross_step) * mm_per_m > scales_fit_mm)  // the first step moves all else, too
            arrives = std::clamp((cross_before - missed_cross) / cross_step, 0.05, 1.0);
        cross_before = missed_cross;
        cross_step = missed_cross / arrives;
        cross_share += cross_step;
    }
    throw OutOfReach("no centre of gravity puts mass.scales_kg on the scales");
}

}  // namespace

Car with_drawn_loads(Car car) {
    if (car.mass.weighing) return with_scales_met(std::move(car));
    return load_is_given(car.corners[0]) ? car : with_resting_springs(std::move(car), 0.5);
}

}  // namespace shimwise

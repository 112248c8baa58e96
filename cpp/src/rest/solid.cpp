#include "shimwise/rest/solid.hpp"

#include <algorithm>
#include <cmath>

#include "math/decompositions.hpp"
#include "motion/at_corner.hpp"
#include "rest/kernel_input.hpp"
#include "rest/rates_along.hpp"
#include "rest/system.hpp"
#include "shimwise/error.hpp"
#include "shimwise/motion/closing.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using rest_system::of;

constexpr int most_steps = 40;
constexpr double arrived_mm = 1e-10;

/// A contact's height over its pad and its slope in (height, pitch, roll).
struct Gap {
    double over_mm = 0.0;
    Eigen::Vector3d by;
};

template <std::size_t K>
Gap gap(const Jet<K>& contact_height, double height_mm, double pad_mm) {
    return {height_mm + contact_height.value - pad_mm, {1.0, contact_height.by[by_pitch], contact_height.by[by_roll]}};
}

/// Second derivative by (height, pitch, roll) and one more local variable.
template <std::size_t K>
Eigen::Vector3d bent(const Jet<K>& contact_height, std::size_t local) {
    return {0.0, contact_height.and_by[by_pitch][local], contact_height.and_by[by_roll][local]};
}

}  // namespace

StrutLengths drawn_struts_mm(const Car& car) {
    StrutLengths all{};
    for (std::size_t c = 0; c < corner_count; ++c) all[c] = drawn_strut_mm(car.corners[c]);
    return all;
}

SolidState on_solid_struts(const RestModel& m, const PadHeights& pads_mm, const StrutLengths& struts_mm) {
    check_pads(pads_mm);
    const SetCorners set = set_corners(m);
    std::array<StandingCorner, corner_count> corners;
    std::array<CornerNumbers<newton_locals>, corner_count> numbers;
    SolidState solid;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Solved solved = at_corner(static_cast<CornerId>(c), [&] {
            return solve_or_throw(m.setups[c], set[c].linkage, {.what = Held::spring}, struts_mm[c]);
        });
        numbers[c] = numbers_at(set[c], solved.half_tan);
        corners[c] = standing_corner(m, set, c, solved.half_tan);
        corners[c].load = {};
        solid.stands.corners[c].half_tan = solved.half_tan;
    }
    ChassisPose& pose = solid.stands.pose;
    for (int i = 0;; ++i) {
        Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
        Eigen::Vector3d slope = Eigen::Vector3d::Zero();
        const Up up(turn(pose.pitch_rad, pose.roll_rad));
        for (std::size_t c = 0; c < corner_count; ++c) {
            const Jet<newton_locals> height = corner_jets(m, c, numbers[c], up).height;
            const Gap g = gap(height, pose.height_mm, pads_mm[c]);
            normal += g.by * g.by.transpose();
            slope += g.by * g.over_mm;
            solid.over_pad_mm[c] = g.over_mm;
        }
        const Eigen::Vector3d step = -solve_square(normal, slope);
        if (!step.allFinite() || i == most_steps) throw OutOfReach("the car does not stand on its solid struts");
        pose.height_mm += step(0);
        pose.pitch_rad += step(1);
        pose.roll_rad += step(2);
        if (std::fabs(step(0)) + (std::fabs(step(1)) + std::fabs(step(2))) * mm_per_m < arrived_mm) break;
    }
    const PadHeights& over = solid.over_pad_mm;
    solid.rocking_mm = over[0] - over[1] - over[2] + over[3];

    Standing<double> s;
    s.height = pose.height_mm;
    s.pitch = pose.pitch_rad;
    s.roll = pose.roll_rad;
    s.twist = 0.0;
    s.load_N.fill(0.0);
    s.pad_mm = pads_mm;
    for (std::size_t c = 0; c < corner_count; ++c) {
        RestCorner& corner = solid.stands.corners[c];
        s.half_tan[c] = corner.half_tan;
        corner.plumb = plumb_up(s.pitch, s.roll);
        corner.contact_mm = corners[c].contact(corner.plumb);
        const Vec3<double> up_in_chassis(0.0, 0.0, 1.0);
        corner.in_chassis = corners[c].values(up_in_chassis, up_in_chassis).outputs;
    }
    const Ground<double> ground = ground_under(s, corners);
    solid.stands.values = values_of(m, s, ground, corners);
    for (RestCorner& corner : solid.stands.corners) corner.normal = in_body(s.pitch, s.roll, ground.normal);
    return solid;
}

std::vector<ValueId> solid_outputs(const RestModel& m) {
    std::vector<ValueId> all = rest_outputs(m);
    std::erase_if(all, [](const ValueId& id) {
        const ValueKind kind = info(id).kind;
        return kind != ValueKind::alignment && kind != ValueKind::height;
    });
    return all;
}

/// With r the contacts' heights over their pads, the plane is where sum r dr/dq = 0: its differential is
/// sum (dr/dq dr/dq' + r d2r/dq dq') dq = -sum (dr/dq dr + r d2r/dq dx dx), where the corners follow so that the struts
/// keep their lengths.
Eigen::MatrixXd solid_rates(const RestModel& m, const RestState& state, const PadHeights& pads_mm,
                            const std::vector<ValueId>& outputs, const std::vector<RestVariable>& variables) {
    Eigen::MatrixXd unknowns_by = Eigen::MatrixXd::Zero(rest_system::unknowns, static_cast<Index>(variables.size()));
    Eigen::MatrixXd right = Eigen::MatrixXd::Zero(3, unknowns_by.cols());
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    const Up up(turn(state.pose.pitch_rad, state.pose.roll_rad));
    for (std::size_t c = 0; c < corner_count; ++c) {
        const std::size_t count = settings_of(m, c);
        std::size_t first = 0;
        do {
            CornerNumbers<table_locals> numbers;
            rest_kernel().numbers(rest_input(m, c, state.corners[c].half_tan, first), numbers);
            const CornerJets<table_locals> jets = corner_jets(m, c, numbers, up);
            const Jet<table_locals>& height = jets.height;
            const Gap g = gap(height, state.pose.height_mm, pads_mm[c]);
            if (first == 0) {
                normal += g.by * g.by.transpose();
                for (const Local q : {by_pitch, by_roll})
                    normal.col(static_cast<Index>(q) + 1) += g.over_mm * bent(height, q);
            }
            for (std::size_t v = 0; v < variables.size(); ++v) {
                const RestVariable& variable = variables[v];
                const Index column = static_cast<Index>(v);
                if (variable.of == RestVariable::Of::pad && variable.corner == c && first == 0)
                    right.col(column) += g.by;
                const auto own = setting_of(m, variable, c);
                if (!own || *own < first || *own >= first + table_settings) continue;
                const std::size_t local = by_setting + *own - first;
                const double follows = -jets.spring_length.by[local] / jets.spring_length.by[by_half_tan];
                unknowns_by(of(rest_system::half_tan, c), column) = follows;
                right.col(column) -= g.by * (height.by[local] + height.by[by_half_tan] * follows) +
                                     g.over_mm * (bent(height, local) + bent(height, by_half_tan) * follows);
            }
            first += table_settings;
        } while (first < count);
    }
    unknowns_by.topRows(3) = solve_square(normal, right);
    return rates_along(m, state, pads_mm, unknowns_by, outputs, variables);
}

}  // namespace shimwise

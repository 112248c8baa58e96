#include "rest/search.hpp"

#include <algorithm>
#include <cmath>

#include "motion/at_corner.hpp"
#include "rest/soft.hpp"
#include "rest/steps.hpp"
#include "shimwise/error.hpp"
#include "shimwise/motion/closing.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise {

using namespace rest_system;

ContactJumps::ContactJumps(std::size_t c, const Posture& stuck_at)
    : Unreached(
          std::string(corner_names[c]) +
              ": no rest is found: the setup wheel stands so upright that its contact jumps between the edge and the "
              "middle of its disc",
          {.what = Obstacle::contact_jumps, .corner = static_cast<CornerId>(c)}),
      corner(c),
      at(stuck_at) {}

/// Its contact on its pad, or its damper on its stop.
RestSearch::HeldAt RestSearch::held_at(const Posture& at, std::size_t c) const {
    if (at.on_stop[c]) return {{.what = Held::spring}, m_.car.corners[c].damper->longest_mm};
    const Vec3<double> up = plumb_up(at.pose.pitch_rad, at.pose.roll_rad + at.pose.twist_rad * share_of(c));
    return {{Held::contact, up}, pads_mm_[c] - at.pose.height_mm};
}

bool RestSearch::follows(Posture& at) const {
    for (std::size_t c = 0; c < corner_count; ++c) {
        if (m_.give_mm_per_N[c] > 0.0) continue;
        const auto [hold, value] = held_at(at, c);
        const Position<double> found = position(corners_[c].linkage, hold, value, at.half_tan[c]);
        at.half_tan[c] = found.half_tan;
        if (found.met) continue;
        const Solved solved = solve(corners_[c].linkage, hold, value, at.half_tan[c]);
        if (solved.status != Status::ok) return false;
        at.half_tan[c] = solved.half_tan;
    }
    return true;
}

void RestSearch::put_on_pads(Posture& at) const {
    for (std::size_t c = 0; c < corner_count; ++c)
        at_corner(static_cast<CornerId>(c), [&] {
            const Linkage<double>& l = corners_[c].linkage;
            Solved solved;
            if (m_.give_mm_per_N[c] > 0.0) {
                solved.pose = pose(l, at.half_tan[c]);
                solved.strut = strut(l, solved.pose);
            } else {
                const auto [hold, value] = held_at(at, c);
                solved = solve_or_throw(m_.setups[c], l, hold, value, at.half_tan[c]);
                at.half_tan[c] = solved.half_tan;
            }
            demand_drop_link(m_.riders[c], corners_[c], solved.pose, solved.strut);
        });
}

/// Newton's method with the stops as they are, until a step is so small that what is left of it is its square.
void RestSearch::settle(Posture& at, double rise_Nmm, std::vector<double>& energies_Nmm) const {
    if (!follows(at)) put_on_pads(at);
    System now = system(m_, corners_, at, pads_mm_);
    if (!now.closes) put_on_pads(at);
    // What a stopped wheel is off its pad counts with more than any load could gain by it; of one on its tyre, what its
    // damper is off its stop.
    const double all_N = m_.total_kg() * gravity_m_per_s2;
    const auto merit = [&](const System& s) {
        double sum = s.energy_Nmm;
        for (std::size_t c = 0; c < corner_count; ++c)
            if (at.on_stop[c])
                sum += 2.0 * all_N * std::fabs(m_.give_mm_per_N[c] > 0.0 ? s.off_stop_mm[c] : s.off_mm[c]);
        return sum;
    };
    energies_Nmm = {merit(now)};
    for (int i = 0; i < tolerances::rest_steps; ++i) {
        at.load_N = now.load_N;
        const auto [step, positive] = newton_step(now);
        if (!step.allFinite()) break;
        if (size(step) < tolerances::rest_step_mm) {
            if (positive != (std::ranges::count(at.on_stop, true) % 2 == 0)) break;  // a saddle
            const std::array<double, corner_count> circles_mm = standing_circles_mm(at);
            at = moved(at, step, 1.0);
            if (!follows(at)) put_on_pads(at);
            if (standing_circles_mm(at) != circles_mm) stop_at_jumps(at);
            return;
        }
        double share = 1.0;
        for (;; share *= 0.5) {
            Posture next = moved(at, step, share);
            if (follows(next)) {
                System there = system(m_, corners_, next, pads_mm_);
                if (there.closes && merit(there) <= energies_Nmm.back() + rise_Nmm) {
                    at = next;
                    at.load_N = there.load_N;
                    now = std::move(there);
                    break;
                }
            }
            if (share < tolerances::rest_least_share) {
                next = moved(at, step, 1.0);
                put_on_pads(next);
                stop_at_jumps(at);
                throw OutOfReach("no rest is found: the energy does not fall any more");
            }
        }
        energies_Nmm.push_back(merit(now));
    }
    stop_at_jumps(at);
    throw OutOfReach("no rest is found: the car does not stand stably");
}

/// Closes the stop that is passed the furthest; where none is, releases the one that pushes the most. Under a rigid
/// chassis on rigid wheels three closed stops place the car: one that is passed then closes only as one of its two
/// neighbours opens, the one that pulls the least.
bool RestSearch::change_stops(Posture& at) const {
    const auto past_mm = [&](std::size_t c) {
        return strut(corners_[c].linkage, pose(corners_[c].linkage, at.half_tan[c])).spring_length -
               m_.car.corners[c].damper->longest_mm;
    };
    const auto open = [&](std::size_t c) {
        at.on_stop[c] = false;
        at.pull_N[c] = 0.0;
    };
    const bool stiff = !m_.twists() && m_.give_mm_per_N[0] == 0.0;
    const bool placed = stiff && std::ranges::count(at.on_stop, true) == 3;
    double most = tolerances::stop_mm;
    std::size_t which = corner_count;
    for (std::size_t c = 0; c < corner_count; ++c) {
        if (!m_.car.corners[c].damper || at.on_stop[c]) continue;
        const double past = past_mm(c);
        if (placed && std::fabs(past) <= tolerances::stop_mm)
            throw OutOfReach(
                "all four dampers would be on their droop stops: under a rigid chassis the loads are then not "
                "determined");
        if (past > most) {
            most = past;
            which = c;
        }
    }
    if (which < corner_count) {
        at.on_stop[which] = true;
        if (placed) open(at.pull_N[which ^ 1] < at.pull_N[which ^ 2] ? which ^ 1 : which ^ 2);
        return true;
    }
    most = 0.0;
    for (std::size_t c = 0; c < corner_count; ++c)
        if (at.on_stop[c] && -at.pull_N[c] > most) {
            most = -at.pull_N[c];
            which = c;
        }
    if (which == corner_count) return false;
    open(which);
    return true;
}

Posture RestSearch::settled(Posture at, double rise_Nmm, std::vector<double>& energies_Nmm) const {
    for (int i = 0; i < tolerances::stop_changes; ++i) {
        settle(at, rise_Nmm, energies_Nmm);
        if (!change_stops(at)) return at;
    }
    throw OutOfReach("no rest is found: droop stops close and open in turn");
}

Stance<double> RestSearch::stance_of(const Posture& at, std::size_t c) const {
    return stance(m_.setups[c].geometry, pose(corners_[c].linkage, at.half_tan[c]).wheel_axis, held_at(at, c).hold.up);
}

std::array<double, corner_count> RestSearch::standing_circles_mm(const Posture& at) const {
    std::array<double, corner_count> outboard_mm;
    for (std::size_t c = 0; c < corner_count; ++c) outboard_mm[c] = stance_of(at, c).outboard;
    return outboard_mm;
}

void RestSearch::stop_at_jumps(const Posture& at) const {
    double nearest = tolerances::upright_sine;
    std::optional<std::size_t> which;
    for (std::size_t c = 0; c < corner_count; ++c) {
        if (m_.setups[c].geometry.half_width_mm == 0.0) continue;
        const double away = std::fabs(std::fabs(stance_of(at, c).lean) - tolerances::upright_sine);
        if (!(away < nearest)) continue;
        nearest = away;
        which = c;
    }
    if (which) throw ContactJumps(*which, at);
}

double RestSearch::jumps_Nmm() const {
    double sum_Nmm = 0.0;
    for (const Setup& setup : m_.setups)
        sum_Nmm += m_.total_kg() * gravity_m_per_s2 * setup.geometry.half_width_mm * tolerances::upright_sine;
    return sum_Nmm;
}

Posture RestSearch::from_drawing(std::vector<double>& energies_Nmm) const {
    Posture drawn;
    drawn.pose = nearest_to_pads(corners_, drawn.half_tan, pads_mm_);
    return settled(drawn, 0.0, energies_Nmm);
}

Posture RestSearch::from_near(const Posture& at, std::vector<double>& energies_Nmm) const {
    return settled(at, jumps_Nmm(), energies_Nmm);
}

Posture RestSearch::from_afar(const std::optional<double>& travel_share, std::vector<double>& energies_Nmm) const {
    Posture at = settled(soft_rest(m_, corners_, pads_mm_, travel_share), jumps_Nmm(), energies_Nmm);
    settle(at, jumps_Nmm(), energies_Nmm);  // once more: near the end of a linkage much is left of the last step
    return at;
}

}  // namespace shimwise

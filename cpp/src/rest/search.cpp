#include "rest/search.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "motion/at_corner.hpp"
#include "shimwise/error.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise {

using namespace rest_system;

namespace {

Posture moved(const Posture& from, const Vector& step, double share) {
    Posture to = from;
    to.pose.height_mm += share * step(height);
    to.pose.pitch_rad += share * step(pitch);
    to.pose.roll_rad += share * step(roll);
    to.pose.twist_rad += share * step(twist);
    for (std::size_t c = 0; c < corner_count; ++c) {
        to.half_tan[c] += share * step(of(half_tan, c));
        to.load_N[c] += share * step(of(load, c));
        to.pull_N[c] += share * step(of(pull, c));
    }
    return to;
}

/// The largest movement of a step, mm: angles over a metre.
double size(const Vector& step) {
    return std::max(std::fabs(step(height)), step.segment<3>(pitch).cwiseAbs().maxCoeff() * mm_per_m);
}

}  // namespace

/// Corners as drawn, the chassis where these contacts come nearest to the pads.
Posture RestSearch::as_drawn() const {
    std::array<Vec3<double>, corner_count> contacts;
    std::array<double, corner_count> over_mm{};
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Pose<double> p = pose(corners_[c].linkage, 0.0);
        contacts[c] = contact(corners_[c].linkage, p, {0.0, 0.0, 1.0});
        over_mm[c] = pads_mm_[c] - contacts[c].z;
    }
    const PadPlane<double> plane = pad_plane(contacts, over_mm);
    Posture at;
    at.pose = {.height_mm = plane.level,
               .pitch_rad = plane.normal.x / plane.normal.z,
               .roll_rad = -plane.normal.y / plane.normal.z};
    return at;
}

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
                solved = solve_or_throw(l, hold, value, at.half_tan[c]);
                at.half_tan[c] = solved.half_tan;
            }
            const Riding<double> r = riding(m_.riders[c], corners_[c].places, l, solved.pose, solved.strut);
            if (r.bar_room > 0.0) return;
            const double missing_mm = missing(m_.riders[c].bar.circle, r.drop_link, corners_[c].link_mm);
            char text[120];
            std::snprintf(text, sizeof text, "the drop link does not reach the bar's arm: it is %.3f mm too %s",
                          std::fabs(missing_mm), missing_mm > 0.0 ? "short" : "long");
            throw OutOfReach(text);
        });
}

/// Newton's method with the stops as they are, until a step is so small that what is left of it is its square.
void RestSearch::settle(Posture& at, std::vector<double>& energies_Nmm) const {
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
        const Vector step = solve(now.matrix, -now.residual);
        if (!step.allFinite()) break;
        if (size(step) < tolerances::rest_step_mm) {
            at = moved(at, step, 1.0);
            if (!follows(at)) put_on_pads(at);
            return;
        }
        double share = 1.0;
        for (;; share *= 0.5) {
            Posture next = moved(at, step, share);
            if (follows(next)) {
                System there = system(m_, corners_, next, pads_mm_);
                if (there.closes && merit(there) <= energies_Nmm.back()) {
                    at = next;
                    at.load_N = there.load_N;
                    now = std::move(there);
                    break;
                }
            }
            if (share < tolerances::rest_least_share) {
                next = moved(at, step, 1.0);
                put_on_pads(next);
                throw OutOfReach("no rest is found: the energy does not fall any more");
            }
        }
        energies_Nmm.push_back(merit(now));
    }
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

Posture RestSearch::found(std::vector<double>& energies_Nmm) const {
    Posture at = as_drawn();
    for (int i = 0; i < tolerances::stop_changes; ++i) {
        settle(at, energies_Nmm);
        if (!change_stops(at)) return at;
    }
    throw OutOfReach("no rest is found: droop stops close and open in turn");
}

}  // namespace shimwise

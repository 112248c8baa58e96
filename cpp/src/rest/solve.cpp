#include "shimwise/rest/solve.hpp"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <optional>

#include "rest/amounts.hpp"
#include "rest/on_width.hpp"
#include "rest/search.hpp"
#include "rest/soft.hpp"
#include "rest/steps.hpp"
#include "shimwise/motion/unreached.hpp"

namespace shimwise {
namespace {

using namespace rest_system;

std::string corner_name(std::size_t c) { return std::string(corner_names[c]); }

/// The worst of what a car at rest cannot have.
void refuse_the_impossible(const RestModel& m, const RestState& state) {
    std::string why;
    Shortfall by;
    double worst = 0.0;
    const auto take = [&](double share, const Shortfall& short_by, std::string sentence) {
        if (share <= worst) return;
        worst = share;
        by = short_by;
        why = std::move(sentence);
    };
    const double all_N = m.total_kg() * gravity_m_per_s2;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const RestCorner& corner = state.corners[c];
        const double load_N = state.values.loads[c][index(CornerLoad::weight)] * gravity_m_per_s2;
        const auto id = static_cast<CornerId>(c);
        if (corner.to_shortest_mm && *corner.to_shortest_mm < 0.0)
            take(-*corner.to_shortest_mm,
                 {.what = Obstacle::damper_past_shortest, .corner = id, .by_mm = -*corner.to_shortest_mm},
                 corner_name(c) + ": the damper is " + millimetres(-*corner.to_shortest_mm) +
                     " past its shortest (damper.shortest_mm)");
        if (corner.load.spring_N < 0.0)
            take(-corner.load.spring_N / all_N,
                 {.what = Obstacle::spring_would_pull, .corner = id, .by_N = -corner.load.spring_N},
                 corner_name(c) + ": the spring would have to pull with " + newtons(-corner.load.spring_N) +
                     "; the file has no droop stop there (damper.longest_mm)");
        else if (load_N < 0.0)
            take(-load_N / all_N, {.what = Obstacle::wheel_off_pad, .corner = id, .by_N = -load_N},
                 corner_name(c) + ": the wheel is off its pad: it would have to be held down with " + newtons(-load_N));
    }
    if (!why.empty()) throw Unreached(why, by);
}

RestCorner corner_at_rest(const Posture& at, std::size_t c, const StandingCorner& k) {
    const Linkage<double>& l = k.set->linkage;
    RestCorner r;
    r.half_tan = at.half_tan[c];
    r.plumb = plumb_up(at.pose.pitch_rad, at.pose.roll_rad + at.pose.twist_rad * share_of(c));
    r.contact_mm = k.contact(r.plumb);
    r.in_chassis = outputs(l, k.pose, k.strut, Frame{});
    r.load = k.load;
    const double length_mm = k.strut.spring_length;
    if (const auto& damper = k.corner->damper) {
        r.to_shortest_mm = length_mm - damper->shortest_mm;
        r.to_droop_stop_mm = at.on_stop[c] ? 0.0 : damper->longest_mm - length_mm;
    }
    if (const auto& rubber = k.corner->bump_rubber)
        r.to_rubber_mm = length_mm - (drawn_strut_mm(*k.corner) - rubber->gap_mm);
    r.on_droop_stop = at.on_stop[c];
    if (r.on_droop_stop) {
        const Motion<double> motion = null_motion(l, k.pose);
        r.stop_pull_N = at.pull_N[c];
        r.missing_N =
            -r.stop_pull_N * spring_rate(l, k.pose, k.strut, motion) / climb(k.pose, motion, r.contact_mm, r.plumb);
    }
    return r;
}

/// Throws OutOfReach where the car cannot stand so.
RestState state_at(const RestModel& m, const SetCorners& set, const PadHeights& pads_mm, const Posture& at) {
    RestState state;
    state.pose = at.pose;
    std::array<StandingCorner, corner_count> corners;
    for (std::size_t c = 0; c < corner_count; ++c) {
        corners[c] = standing_corner(m, set, c, at.half_tan[c]);
        state.corners[c] = corner_at_rest(at, c, corners[c]);
    }
    const Standing<double> stands = standing(at, pads_mm);
    const Ground<double> ground = ground_under(stands, corners);
    state.values = values_of(m, stands, ground, corners);
    for (std::size_t c = 0; c < corner_count; ++c)
        state.corners[c].normal = in_body(stands.pitch, stands.roll_of(share_of(c)), ground.normal);
    refuse_the_impossible(m, state);
    return state;
}

/// What a search has led to: a state, or why not. `rests`: there is a state of rest, but the car cannot stand so.
struct Tried {
    std::optional<RestState> state;
    std::string why;
    Shortfall by;
    bool rests = false;
};

template <class Search>
Tried tried(const RestModel& m, const SetCorners& set, const PadHeights& pads_mm, const Search& search) {
    Tried t;
    std::vector<double> energies_Nmm;
    try {
        try {
            const Posture at = search(energies_Nmm);
            t.rests = true;
            t.state = state_at(m, set, pads_mm, at);
        } catch (const ContactJumps& jump) {
            OnWidth stands = on_width(m, pads_mm, jump);
            energies_Nmm = std::move(stands.energies_Nmm);
            t.rests = true;
            t.state = state_at(stands.model, set_corners(stands.model), pads_mm, stands.at);
            for (std::size_t c = 0; c < corner_count; ++c) t.state->corners[c].on_width_mm = stands.on_width_mm[c];
        }
        t.state->energies_Nmm = std::move(energies_Nmm);
    } catch (const Unreached& failure) {
        t.why = failure.what();
        t.by = failure.shortfall;
    } catch (const OutOfReach& failure) {
        t.why = failure.what();
        t.by = {.what = Obstacle::no_rest};
    }
    return t;
}

}  // namespace

RestState rest(const RestModel& m, const PadHeights& pads_mm) {
    check_pads(pads_mm);
    const SetCorners set = set_corners(m);
    const RestSearch search(m, set, pads_mm);
    Tried first = tried(m, set, pads_mm, [&](auto& energies_Nmm) { return search.from_drawing(energies_Nmm); });
    if (first.state) return *std::move(first.state);
    // A search that has failed does not know what stands in the way; the soft car and a state that cannot be do.
    std::string why = first.rests ? first.why : "";
    Shortfall by = first.by;
    for (const std::optional<double>& travel_share : soft_starts) {
        Tried next =
            tried(m, set, pads_mm, [&](auto& energies_Nmm) { return search.from_afar(travel_share, energies_Nmm); });
        if (next.state) return *std::move(next.state);
        if (why.empty()) {
            why = next.why;
            by = next.by;
        }
        if (first.rests) break;
    }
    throw Unreached(why, by);
}

RestEnergy rest_energy(const RestModel& m, const ChassisPose& pose, const PadHeights& pads_mm) {
    const SetCorners set = set_corners(m);
    Posture at;
    at.pose = pose;
    RestSearch(m, set, pads_mm).put_on_pads(at);
    const System s = system(m, set, at, pads_mm);
    RestEnergy e;
    e.energy_Nmm = s.energy_Nmm;
    e.gradient = s.residual.head<4>();
    e.load_N = s.load_N;
    // Corners follow the chassis so that every contact stays on its pad: by half tangents t, dt/d pose = -C_t^-1
    // C_pose.
    const Eigen::Matrix4d follow = -s.matrix.block<4, 4>(load, half_tan).inverse() * s.matrix.block<4, 4>(load, 0);
    const Eigen::Matrix4d bent = s.matrix.block<4, 4>(half_tan, half_tan), mixed = s.matrix.block<4, 4>(0, half_tan);
    e.hessian = s.matrix.topLeftCorner<4, 4>() + mixed * follow + (mixed * follow).transpose() +
                follow.transpose() * bent * follow;
    return e;
}

}  // namespace shimwise

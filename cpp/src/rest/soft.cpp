#include "rest/soft.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "motion/at_corner.hpp"
#include "rest/amounts.hpp"
#include "rest/steps.hpp"
#include "shimwise/motion/closing.hpp"
#include "shimwise/units.hpp"

namespace shimwise {

using namespace rest_system;

namespace {

constexpr double tyre_N_per_mm = 1e4, stop_N_per_mm = 1e4;
constexpr int rounds = 4;  // each takes down what a soft tyre and a soft stop have given way by, to a hundredth
constexpr int most_steps = 400;
constexpr double most_mm = 10.0;  // of a step: beyond a linkage's dead centre the energy falls, too
constexpr double last_mm = 1e-3;
constexpr double least_damping_N_per_mm = 1.0, most_damping_N_per_mm = 1e6;
constexpr double end_half_tan = 1e-3;  // a corner this near to where its linkage opens is at its end
constexpr double absent_mm_per_N = 1e9;
constexpr double held = 1e20;
constexpr double start_step_rad = 0.25 * rad_per_deg, start_end_rad = 60.0 * rad_per_deg;

bool closes(const SetCorner& corner, double half_tan) {
    const CornerNumbers<newton_locals> n = numbers_at(corner, half_tan);
    return n.room > 0.0 && n.bar_room > 0.0;
}

/// What does not close beyond a corner's end.
std::string open_words(const SetCorner& corner, double half_tan) {
    const Geometry& g = *corner.linkage.geometry;
    const Pose<double> p = pose(corner.linkage, half_tan);
    if (!(p.upper_room > 0.0)) return in_words(Status::upper_wishbone_open, g);
    if (!(p.track_rod_room > 0.0)) return in_words(Status::track_rod_open, g);
    if (!(strut(corner.linkage, p).room > 0.0)) return in_words(Status::pushrod_open, g);
    return "the drop link does not reach the bar's arm";
}

std::string name(std::size_t c) { return std::string(corner_names[c]); }

class SoftSearch {
public:
    SoftSearch(const RestModel& m, const SetCorners& corners, const PadHeights& pads_mm)
        : m_(m), soft_(m), corners_(corners), pads_mm_(pads_mm) {
        for (std::size_t c = 0; c < corner_count; ++c) {
            soft_.setups[c].geometry.half_width_mm = 0.0;  // its contact jumps
            if (!rigid_wheel(c)) continue;
            soft_.give_mm_per_N[c] = 1.0 / tyre_N_per_mm;
            soft_.tyre_load_N[c] = m.total_kg() * gravity_m_per_s2 / corner_count;
        }
    }

    /// Tyres begin with a quarter of the weight; what they carry is taken for their load at no squeeze from then on,
    /// and likewise of stops, so that contacts come to their pads and dampers to their stops. Discs have their width
    /// back once the car is near: the first descent knows no jumps.
    Posture found(Posture at) {
        System s;
        for (int i = 0; i < rounds; ++i) {
            s = descend(at);
            if (lifted(s)) i = 0;
            for (std::size_t c = 0; c < corner_count; ++c) {
                soft_.setups[c].geometry.half_width_mm = m_.setups[c].geometry.half_width_mm;
                if (rigid_wheel(c) && end_[c] != End::off_pad) soft_.tyre_load_N[c] = s.load_N[c];
                pull_mm_[c] = past_stops_mm(c, spring_length(c, at).value);
            }
        }
        refuse_pressed_dampers(at);
        refuse_ends(at, s);
        close_stops(at);
        return at;
    }

private:
    /// Of a linkage; the wheel then stands on its pad, or is lifted off it.
    enum class End { none, on_pad, off_pad };

    bool rigid_wheel(std::size_t c) const { return m_.give_mm_per_N[c] == 0.0; }
    Along<newton_locals> spring_length(std::size_t c, const Posture& at) const {
        return numbers_at(corners_[c], at.half_tan[c]).spring_length;
    }

    /// + past the longest length, - past the shortest. What a droop stop has pulled counts on: the damper comes back to
    /// its longest length.
    double past_stops_mm(std::size_t c, double length_mm) const {
        const auto& damper = m_.car.corners[c].damper;
        if (!damper) return 0.0;
        return std::max(0.0, length_mm - damper->longest_mm + pull_mm_[c]) +
               std::min(0.0, length_mm - damper->shortest_mm);
    }

    System soft_system(const Posture& at) const {
        System s = system(soft_, corners_, at, pads_mm_);
        for (std::size_t c = 0; c < corner_count; ++c) {
            const Along<newton_locals> length = spring_length(c, at);
            const double past_mm = past_stops_mm(c, length.value), pull_N = stop_N_per_mm * past_mm;
            if (past_mm == 0.0) continue;
            const Index t = of(half_tan, c);
            s.energy_Nmm += 0.5 * pull_N * past_mm;
            s.residual(t) += pull_N * length.by[by_half_tan];
            s.matrix(t, t) +=
                stop_N_per_mm * square(length.by[by_half_tan]) + pull_N * length.half_tan_and[by_half_tan];
        }
        return s;
    }

    System descend(Posture& at);
    bool held_at_ends(const Posture& at);
    bool lifted(const System& s);
    void refuse_pressed_dampers(const Posture& at) const;
    void refuse_ends(const Posture& at, const System& s) const;
    void close_stops(Posture& at) const;

    const RestModel& m_;
    RestModel soft_;
    const SetCorners& corners_;
    const PadHeights& pads_mm_;
    std::array<End, corner_count> end_{};
    std::array<double, corner_count> pull_mm_{};
};

/// Newton's method, damped where a step would go too far, open a linkage or raise the energy: the damping adds to the
/// matrix so many N/mm of every movement, of the chassis (angles over a metre) and of each wheel in it.
System SoftSearch::descend(Posture& at) {
    System now = soft_system(at);
    double damping = 0.0;
    for (int i = 0; i < most_steps; ++i) {
        Matrix damped = now.matrix;
        damped(height, height) += damping;
        for (const Index angle : {pitch, roll, twist}) damped(angle, angle) += damping * square(mm_per_m);
        std::array<double, corner_count> wheel_mm{};
        for (std::size_t c = 0; c < corner_count; ++c) {
            const Index t = of(half_tan, c);
            wheel_mm[c] = now.matrix(t, of(load, c));
            damped(t, t) += (end_[c] == End::none ? damping : held) * square(wheel_mm[c]);
        }
        const Vector step = solve(damped, -now.residual);
        double moves_mm = size(step);
        for (std::size_t c = 0; c < corner_count; ++c)
            moves_mm = std::max(moves_mm, std::fabs(wheel_mm[c] * step(of(half_tan, c))));
        if (moves_mm < most_mm) {
            const Posture next = moved(at, step, 1.0);
            System there = soft_system(next);
            const bool last = damping == 0.0 && moves_mm < last_mm;
            if (there.closes && (last || there.energy_Nmm < now.energy_Nmm)) {
                at = next;
                now = std::move(there);
                if (last) return now;
                damping = damping > least_damping_N_per_mm ? 0.25 * damping : 0.0;
                continue;
            }
        }
        damping = std::max(least_damping_N_per_mm, 4.0 * damping);
        if (damping < most_damping_N_per_mm) continue;
        if (!held_at_ends(at)) return now;  // at a jump of a disc's contact: as near as descent comes
        damping = 0.0;
    }
    throw OutOfReach("no rest is found: the energy falls on and on");
}

/// Holds the corners that are at the end of their linkage; whether there is a new one.
bool SoftSearch::held_at_ends(const Posture& at) {
    bool any = false;
    for (std::size_t c = 0; c < corner_count; ++c) {
        if (end_[c] != End::none) continue;
        if (closes(corners_[c], at.half_tan[c] - end_half_tan) && closes(corners_[c], at.half_tan[c] + end_half_tan))
            continue;
        end_[c] = End::on_pad;
        any = true;
    }
    return any;
}

/// Lifts wheels off their pads where a linkage's end holds them up; whether there is a new one.
bool SoftSearch::lifted(const System& s) {
    bool any = false;
    for (std::size_t c = 0; c < corner_count; ++c) {
        if (end_[c] != End::on_pad || s.load_N[c] >= 0.0) continue;
        end_[c] = End::off_pad;
        soft_.give_mm_per_N[c] = absent_mm_per_N;
        soft_.tyre_load_N[c] = 0.0;
        any = true;
    }
    return any;
}

void SoftSearch::refuse_pressed_dampers(const Posture& at) const {
    for (std::size_t c = 0; c < corner_count; ++c) {
        const double past_mm = past_stops_mm(c, spring_length(c, at).value);
        if (past_mm < 0.0)
            throw Unreached(name(c) + ": the damper would be past its shortest (damper.shortest_mm): there it would " +
                                "have to push with " + newtons(-past_mm * stop_N_per_mm),
                            {.what = Obstacle::damper_past_shortest,
                             .corner = static_cast<CornerId>(c),
                             .by_N = -past_mm * stop_N_per_mm});
    }
}

void SoftSearch::refuse_ends(const Posture& at, const System& s) const {
    for (std::size_t c = 0; c < corner_count; ++c) {
        if (end_[c] == End::none) continue;
        const double t = at.half_tan[c], beyond = closes(corners_[c], t + end_half_tan) ? -end_half_tan : end_half_tan;
        const std::string there =
            end_[c] == End::off_pad
                ? "the wheel is " + millimetres(s.off_mm[c]) + " off its pad at the end of its travel"
                : "the wheel is at the end of its travel with " + newtons(s.load_N[c]) + " on it";
        const bool off_pad = end_[c] == End::off_pad;
        throw Unreached(name(c) + ": " + there + ": beyond that " + open_words(corners_[c], t + beyond),
                        {.what = off_pad ? Obstacle::wheel_off_pad : Obstacle::end_of_travel,
                         .corner = static_cast<CornerId>(c),
                         .by_mm = off_pad ? std::fabs(s.off_mm[c]) : 0.0,
                         .by_N = off_pad ? 0.0 : std::fabs(s.load_N[c])});
    }
}

/// Under a rigid chassis on rigid wheels three closed stops place the car: the fourth that pulls the least is open.
void SoftSearch::close_stops(Posture& at) const {
    for (std::size_t c = 0; c < corner_count; ++c) {
        at.on_stop[c] = pull_mm_[c] > 0.0;
        at.pull_N[c] = stop_N_per_mm * pull_mm_[c];
    }
    const std::size_t least = static_cast<std::size_t>(std::ranges::min_element(at.pull_N) - at.pull_N.begin());
    if (m_.twists() || !rigid_wheel(0) || !at.on_stop[least]) return;
    at.on_stop[least] = false;
    at.pull_N[least] = 0.0;
}

/// A corner that closes nowhere.
[[noreturn]] void refuse_open(const RestModel& m, const SetCorners& corners, std::size_t c) {
    at_corner(static_cast<CornerId>(c), [&] {
        const Linkage<double>& l = corners[c].linkage;
        const Solved drawn = solve_or_throw(m.setups[c], l, {.what = Held::wheel}, l.geometry->drawn.wheel_height_mm);
        demand_drop_link(m.riders[c], corners[c], drawn.pose, drawn.strut);
    });
    throw OutOfReach(name(c) + ": " + open_words(corners[c], 0.0));
}

/// Where a descent begins. Throws OutOfReach where a corner closes nowhere.
Posture start(const RestModel& m, const SetCorners& corners, const PadHeights& pads_mm,
              const std::optional<double>& travel_share) {
    Posture at;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto& damper = m.car.corners[c].damper;
        std::optional<double> least;
        for (double away_rad = 0.0; away_rad < start_end_rad; away_rad += start_step_rad)
            for (const double angle_rad : {away_rad, -away_rad}) {
                const double half_tan = std::tan(0.5 * angle_rad);
                if (!closes(corners[c], half_tan)) continue;
                double far_rad = away_rad;
                if (damper) {
                    const double length_mm = numbers_at(corners[c], half_tan).spring_length.value;
                    const double share = (length_mm - damper->shortest_mm) / (damper->longest_mm - damper->shortest_mm);
                    far_rad += std::fabs(share - travel_share.value_or(std::clamp(share, 0.0, 1.0))) * start_end_rad;
                }
                if (least && far_rad >= *least) continue;
                least = far_rad;
                at.half_tan[c] = half_tan;
            }
        if (!least) refuse_open(m, corners, c);
    }
    at.pose = nearest_to_pads(corners, at.half_tan, pads_mm);
    return at;
}

}  // namespace

Posture soft_rest(const RestModel& m, const SetCorners& corners, const PadHeights& pads_mm,
                  const std::optional<double>& travel_share) {
    return SoftSearch(m, corners, pads_mm).found(start(m, corners, pads_mm, travel_share));
}

}  // namespace shimwise

#include "rest/four_at_rest.hpp"

#include <utility>

#include "rest/standing.hpp"
#include "rest/steps.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise {

using namespace rest_system;

namespace {

constexpr std::size_t lanes = std::tuple_size_v<FourNumbers>;
using Bits = unsigned;

Bits bit(std::size_t lane) { return 1U << lane; }

void put(FourVectors& four, std::size_t lane, const Vec3<double>& one) {
    four.x[lane] = one.x;
    four.y[lane] = one.y;
    four.z[lane] = one.z;
}
Vec3<double> of_lane(const FourVectors& four, std::size_t lane) { return {four.x[lane], four.y[lane], four.z[lane]}; }

using Jets = CornerJets<newton_locals>;

void take_lane(const Jet<newton_locals, FourNumbers>& four, std::size_t lane, Jet<newton_locals>& one) {
    one.value = four.value[lane];
    for (std::size_t k = 0; k < newton_locals; ++k) {
        one.by[k] = four.by[k][lane];
        for (std::size_t r = 0; r < 3; ++r) one.and_by[r][k] = four.and_by[r][k][lane];
    }
}

/// Without the strut's length, which only stops ask for.
void take_lane(const CornerJets<newton_locals, FourNumbers>& four, const Riders& riders, std::size_t lane, Jets& one) {
    take_lane(four.energy, lane, one.energy);
    take_lane(four.height, lane, one.height);
    if (riders.has_bar) take_lane(four.bar_rad, lane, one.bar_rad);
    if (riders.has_third)
        for (std::size_t i = 0; i < 3; ++i) take_lane(four.third[i], lane, one.third[i]);
}

void put(FourTurns& four, std::size_t lane, const Turn<double>& one) {
    four.pitch_sine[lane] = one.pitch_sine;
    four.pitch_cosine[lane] = one.pitch_cosine;
    four.roll_sine[lane] = one.roll_sine;
    four.roll_cosine[lane] = one.roll_cosine;
}

void put(FourLoads& four, std::size_t lane, const StrutLoad& one) {
    four.spring_N[lane] = one.spring_N;
    four.spring_N_per_mm[lane] = one.spring_N_per_mm;
    four.rubber_N[lane] = one.rubber_N;
    four.rubber_N_per_mm[lane] = one.rubber_N_per_mm;
    four.energy_Nmm[lane] = one.energy_Nmm;
}

/// Whether the loops of both are drawn the same way round.
bool alike(const PlainCorner& a, const PlainCorner& b) {
    const Geometry &g = *a.linkage.geometry, &h = *b.linkage.geometry;
    return g.upper_side == h.upper_side && g.track_rod_side == h.track_rod_side && g.rocker_side == h.rocker_side &&
           (!a.riders->has_bar || a.riders->bar.side == b.riders->bar.side);
}

/// A corner whose values are known already.
struct KnownCorner {
    Vec3<double> touches;
    CornerValues<double> known;

    const Vec3<double>& contact(const Vec3<double>&) const { return touches; }
    const CornerValues<double>& values(const Vec3<double>&, const Vec3<double>&) const { return known; }
};

}  // namespace

struct FourAtRest::Search {
    std::array<const RestModel*, lanes> models{};
    std::array<PadHeights, lanes> pads_mm;
    std::array<FourCorners, corner_count> corners;
    std::array<Posture, lanes> at;
    std::array<Turns, lanes> turns;  // of `at`, but while a step is tried: where it is not taken, the lane is left
    std::array<System, lanes> now, there;
    std::array<std::array<Jets, corner_count>, lanes> jets{};
    std::array<FourNumbers, corner_count> platforms_mm, circles_mm;
    Bits left = 0;  // to the search for one

    bool set();
    void start();
    void follow(std::array<Posture, lanes>& postures, Bits of);
    void find_systems(const std::array<Posture, lanes>& postures, Bits of);
    void settle();
    std::array<FourStances, corner_count> stances() const;
    void stand(std::array<RestValues<double>, lanes>& values);
    FourNumbers half_tans(const std::array<Posture, lanes>& postures, std::size_t c) const;
    template <class With>
    void each(Bits of, const With& with) const {
        for (std::size_t lane = 0; lane < lanes; ++lane)
            if (of & bit(lane)) with(lane);
    }
    Bits all() const { return ~left & 15U; }
};

bool FourAtRest::Search::set() {
    for (std::size_t c = 0; c < corner_count; ++c) {
        std::array<PlainCorner, lanes> of_each;
        std::array<const PlainCorner*, lanes> pointers{};
        for (std::size_t lane = 0; lane < lanes; ++lane) {
            if (models[lane]->give_mm_per_N[c] > 0.0) return false;
            of_each[lane] = plain_corner(*models[lane], c);
            if (!alike(of_each[0], of_each[lane])) return false;
            pointers[lane] = &of_each[lane];
            platforms_mm[c][lane] = of_each[lane].platform_mm;
        }
        rest_kernel().set(pointers.data(), corners[c]);
    }
    return true;
}

FourNumbers FourAtRest::Search::half_tans(const std::array<Posture, lanes>& postures, std::size_t c) const {
    FourNumbers all;
    for (std::size_t lane = 0; lane < lanes; ++lane) all[lane] = postures[lane].half_tan[c];
    return all;
}

/// The chassis where its drawn contacts come nearest to the pads.
void FourAtRest::Search::start() {
    std::array<std::array<Vec3<double>, corner_count>, lanes> contacts;
    FourVectors up;
    for (std::size_t lane = 0; lane < lanes; ++lane) put(up, lane, {0.0, 0.0, 1.0});
    for (std::size_t c = 0; c < corner_count; ++c) {
        FourStances drawn;
        rest_kernel().stances(corners[c], {}, up, drawn);
        for (std::size_t lane = 0; lane < lanes; ++lane) contacts[lane][c] = of_lane(drawn.contact, lane);
    }
    for (std::size_t lane = 0; lane < lanes; ++lane) {
        at[lane] = {};
        at[lane].pose = nearest_to_pads(contacts[lane], pads_mm[lane]);
    }
}

/// Moves the corners of these onto their pads.
void FourAtRest::Search::follow(std::array<Posture, lanes>& postures, Bits of) {
    each(of, [&](std::size_t lane) { turns[lane] = Turns(postures[lane].pose); });
    for (std::size_t c = 0; c < corner_count; ++c) {
        FourHeld held = {.up = {}, .value = {}, .start = half_tans(postures, c)};
        for (std::size_t lane = 0; lane < lanes; ++lane) {
            put(held.up, lane, plumb(turns[lane].at_corner(c)));
            held.value[lane] = pads_mm[lane][c] - postures[lane].pose.height_mm;
        }
        FourNumbers half_tan;
        left |= of & rest_kernel().follow(corners[c], held, half_tan);
        for (std::size_t lane = 0; lane < lanes; ++lane) postures[lane].half_tan[c] = half_tan[lane];
    }
}

/// Where `postures` have followed to, of these.
void FourAtRest::Search::find_systems(const std::array<Posture, lanes>& postures, Bits of) {
    for (std::size_t c = 0; c < corner_count; ++c) {
        FourStruts struts;
        rest_kernel().go(corners[c], half_tans(postures, c), struts);
        FourLoads loads{};
        FourTurns turned{};
        each(of, [&](std::size_t lane) {
            const Corner& corner = models[lane]->car.corners[c];
            put(loads, lane, strut_load(corner, struts.platform[lane], struts.spring_length[lane], loose(corner)));
            put(turned, lane, turns[lane].at_corner(c));
            if (!(struts.room[lane] > 0.0 && struts.bar_room[lane] > 0.0)) left |= bit(lane);
        });
        CornerJets<newton_locals, FourNumbers> found;
        rest_kernel().jets(corners[c], turned, loads, models[0]->car.corners[c].unsprung_kg, found);
        each(of, [&](std::size_t lane) { take_lane(found, models[0]->riders[c], lane, jets[lane][c]); });
    }
    each(of, [&](std::size_t lane) {
        there[lane] = system(*models[lane], turns[lane], jets[lane], postures[lane], pads_mm[lane]);
    });
}

/// As `RestSearch::settle` does where every whole step is taken.
void FourAtRest::Search::settle() {
    follow(at, all());
    find_systems(at, all());
    std::swap(now, there);
    Bits searching = all();
    for (int i = 0; i < tolerances::rest_steps && searching != 0; ++i) {
        std::array<Posture, lanes> next = at;
        Bits last = 0;
        each(searching, [&](std::size_t lane) {
            at[lane].load_N = now[lane].load_N;
            const auto [step, positive] = newton_step(now[lane]);
            const bool ends = step.allFinite() && size(step) < tolerances::rest_step_mm;
            if (!step.allFinite() || (ends && !positive)) left |= bit(lane);
            if (ends) last |= bit(lane);
            next[lane] = moved(at[lane], step, 1.0);
        });
        if (last != 0) {
            const auto before = stances();
            each(last, [&](std::size_t lane) {
                for (std::size_t c = 0; c < corner_count; ++c) circles_mm[c][lane] = before[c].outboard[lane];
            });
        }
        searching &= ~left;
        follow(next, searching);
        each(searching & last, [&](std::size_t lane) { at[lane] = next[lane]; });
        searching &= ~(left | last);
        if (searching == 0) return;
        find_systems(next, searching);
        searching &= ~left;
        each(searching, [&](std::size_t lane) {
            if (!(there[lane].energy_Nmm <= now[lane].energy_Nmm)) {
                left |= bit(lane);
                return;
            }
            at[lane] = next[lane];
            at[lane].load_N = there[lane].load_N;
            std::swap(now[lane], there[lane]);
        });
        searching &= ~left;
    }
    left |= searching;
}

std::array<FourStances, corner_count> FourAtRest::Search::stances() const {
    std::array<FourStances, corner_count> all;
    for (std::size_t c = 0; c < corner_count; ++c) {
        FourVectors up;
        for (std::size_t lane = 0; lane < lanes; ++lane) put(up, lane, plumb(turns[lane].at_corner(c)));
        rest_kernel().stances(corners[c], half_tans(at, c), up, all[c]);
    }
    return all;
}

/// What the car has as it stands; what one car cannot have, or would have to be searched on for, is left.
void FourAtRest::Search::stand(std::array<RestValues<double>, lanes>& values) {
    const std::array<FourStances, corner_count> stand = stances();
    std::array<Standing<double>, lanes> standing_cars;
    std::array<Ground<double>, lanes> grounds;
    std::array<std::array<KnownCorner, corner_count>, lanes> known;
    each(all(), [&](std::size_t lane) {
        for (std::size_t c = 0; c < corner_count; ++c) {
            known[lane][c].touches = of_lane(stand[c].contact, lane);
            const auto& damper = models[lane]->car.corners[c].damper;
            const double length_mm = stand[c].spring_length[lane];
            if (stand[c].outboard[lane] != circles_mm[c][lane] ||
                (damper && (length_mm - damper->longest_mm > tolerances::stop_mm || length_mm < damper->shortest_mm)))
                left |= bit(lane);
        }
        standing_cars[lane] = standing(at[lane], pads_mm[lane]);
        grounds[lane] = ground_under(standing_cars[lane], known[lane]);
    });
    for (std::size_t c = 0; c < corner_count; ++c) {
        FourVectors normal{}, up{};
        each(all(), [&](std::size_t lane) {
            const Standing<double>& s = standing_cars[lane];
            put(normal, lane, in_body(s.pitch, s.roll_of(share_of(c)), grounds[lane].normal));
            put(up, lane, grounds[lane].plumb[c]);
        });
        FourValues found;
        rest_kernel().values(corners[c], half_tans(at, c), normal, up, found);
        each(all(), [&](std::size_t lane) {
            const RestModel& m = *models[lane];
            const StrutLoad load = strut_load(m.car.corners[c], platforms_mm[c][lane], stand[c].spring_length[lane],
                                              loose(m.car.corners[c]));
            CornerValues<double>& of = known[lane][c].known;
            for (std::size_t o = 0; o < output_count; ++o) of.outputs[o] = found.outputs[o][lane];
            of.spring_N = load.spring_N;
            of.rubber_N = load.rubber_N;
            of.bar_rad = found.bar_rad[lane];
            of.third = of_lane(found.third, lane);
            of.inclination_to_plumb_deg = found.inclination_to_plumb_deg[lane];
            if (load.spring_N < 0.0 || at[lane].load_N[c] < 0.0) left |= bit(lane);
        });
    }
    each(all(), [&](std::size_t lane) {
        values[lane] = values_of(*models[lane], standing_cars[lane], grounds[lane], known[lane]);
    });
}

FourAtRest::FourAtRest() : search_(std::make_unique<Search>()) {}
FourAtRest::~FourAtRest() = default;

unsigned FourAtRest::at(const std::array<const RestModel*, 4>& models, const std::array<PadHeights, 4>& pads_mm,
                        std::array<RestValues<double>, 4>& values) {
    Search& search = *search_;
    search.models = models;
    search.pads_mm = pads_mm;
    search.left = 0;
    if (!search.set()) return 15U;
    search.start();
    search.settle();
    search.stand(values);
    return search.left;
}

}  // namespace shimwise

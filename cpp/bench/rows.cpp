#include "rows.hpp"

#include <chrono>
#include <cmath>

#include "integers.hpp"
#include "motion/kernel.hpp"
#include "sensitivity.hpp"
#include "shimwise/motion/curves.hpp"
#include "shimwise/motion/starts.hpp"
#include "shimwise/motion/sweep.hpp"
#include "shimwise/workshop/choose/chance.hpp"
#include "shimwise/workshop/choose/effect_table.hpp"
#include "shimwise/workshop/measure/contradictions.hpp"
#include "shimwise/workshop/measure/reduce.hpp"
#include "sweep_case.hpp"
#include "swept.hpp"
#include "tiny_solver.hpp"

namespace bench {
namespace {

using namespace shimwise;

constexpr std::size_t geometry_count = 256;  // of "new geometry in each state"
constexpr long curve_size = 121;             // travels of one call
constexpr long sweep_size = 100'000;         // states of one call, so that its table of starts is paid for

/// Where results go, so that none is left out.
volatile double sink = 0.0;

/// Calls one state after another round the values, going on where the last run ended.
template <class State>
std::function<void(long)> round(std::vector<double> values, State state) {
    return [values = std::move(values), state = std::move(state), next = std::size_t{0}](long states) mutable {
        double sum = 0.0;
        for (long i = 0; i < states; ++i) {
            sum += state(values[next], next);
            if (++next == values.size()) next = 0;
        }
        sink = sum;
    };
}

double first_of(const Sensitivity& s) { return s.toe_deg + s.toe_deg_per_mm; }

std::shared_ptr<const SensitivitySweep> sensitivities(const SweepCase& c) {
    return std::make_shared<SensitivitySweep>(c.setup, track_rod, c.hold, c.low(), c.high());
}

Row one_sensitivity(const std::string& name, const SweepCase& c, double aim_us) {
    return {
        .name = name,
        .what = "one sensitivity, table of starts, any order, " + std::string(held_names[index(c.hold.what)]) + " held",
        .aim_us = aim_us,
        .run = round(c.shuffled, [s = sensitivities(c)](double value, std::size_t) { return first_of((*s)(value)); })};
}

Row drawn_start(const SweepCase& c) {
    return {.name = "drawn_start",
            .what = "one sensitivity, from the drawn position, any order",
            .aim_us = 0.6,
            .run = round(c.shuffled,
                         [s = sensitivities(c)](double value, std::size_t) { return first_of(s->from_drawn(value)); })};
}

/// Corners built otherwise than drawn: every chassis joint somewhere else, the parts' lengths kept.
std::vector<Setup> built_otherwise(const Setup& drawn) {
    std::mt19937 random(2);
    std::uniform_real_distribution<double> off_mm(-1.0, 1.0);
    std::vector<Setup> all(geometry_count, drawn);
    for (Setup& setup : all)
        for (const Point p : {Point::upper_wishbone_front, Point::upper_wishbone_rear, Point::lower_wishbone_front,
                              Point::lower_wishbone_rear, Point::track_rod_inner}) {
            Vec3<double>& at = setup.geometry.drawn.points[index(p)];
            at = at + Vec3<double>(off_mm(random), off_mm(random), off_mm(random));
        }
    return all;
}

Row new_geometry(const SweepCase& c) {
    return {.name = "new_geometry",
            .what = "one sensitivity, new geometry in each state, any order",
            .aim_us = 0.9,
            .run = round(c.shuffled, [setups = built_otherwise(c.setup), hold = c.hold,
                                      starts = Starts(linkage(c.setup.geometry, c.setup.parts()), c.hold, c.low(),
                                                      c.high())](double value, std::size_t i) {
                return first_of(sensitivity(setups[i % geometry_count], track_rod, hold, value, starts(value)));
            })};
}

Row effect_table(const std::string& name, const SweepCase& c, const Kernel& kernel, double aim_us) {
    const Geometry& g = c.setup.geometry;
    return {.name = name,
            .what = "effect table, " + std::to_string(c.setup.amounts_mm.size()) + " adjusters by " +
                    std::to_string(output_count) + " outputs, unit " + kernel.name,
            .aim_us = aim_us,
            .run = round(c.shuffled, [setup = c.setup, hold = c.hold, &kernel,
                                      starts = Starts(linkage(g, c.setup.parts()), c.hold, c.low(), c.high())](
                                         double value, std::size_t) {
                double values[output_count];
                double rates[output_count * rates_per_output];
                kernel.table({.geometry = &setup.geometry,
                              .amounts_mm = setup.amounts_mm.data(),
                              .adjuster_count = static_cast<int>(setup.amounts_mm.size()),
                              .first_adjuster = 0,
                              .rack_mm = setup.rack_mm,
                              .half_tan = starts(value),
                              .hold = hold,
                              .frame = {}},
                             values, rates);
                return values[0] + rates[1];
            })};
}

Row whole_rates(const SweepCase& c) {
    return {.name = "rates",
            .what = "the same by the public `rates`, from the drawn position",
            .run = round(c.shuffled, [setup = c.setup, hold = c.hold](double value, std::size_t) {
                return rates(setup, hold, value).per_mm[0][0];
            })};
}

Row whole_sweep(const SweepCase& c) {
    std::vector<double> many;
    for (long i = 0; i < sweep_size; ++i) many.push_back(c.shuffled[static_cast<std::size_t>(i) % c.shuffled.size()]);
    return {.name = "sweep",
            .what = "sweep of all " + std::to_string(output_count) + " outputs, any order, unit " + kernel().name,
            .run = [setup = c.setup, hold = c.hold, values = std::move(many),
                    block = std::vector<double>(output_count * sweep_size)](long states) mutable {
                double* columns[output_count];
                for (std::size_t o = 0; o < output_count; ++o) columns[o] = block.data() + o * sweep_size;
                for (long done = 0; done < states; done += sweep_size) {
                    const long now = std::min(sweep_size, states - done);
                    sweep(setup, hold, std::span(values).first(static_cast<std::size_t>(now)), {}, columns);
                }
                sink = block[0];
            }};
}

Row whole_curves(const Corner& corner) {
    std::vector<double> travel_mm, rack_mm(curve_size, 0.0);
    for (long i = 0; i < curve_size; ++i) travel_mm.push_back(-30.0 + 0.5 * static_cast<double>(i));
    return {.name = "curves",
            .what = "curves of a corner, 121 travels a call, all " + std::to_string(output_count + curve_count) +
                    " outputs and curves",
            .aim_us = 1000.0 / curve_size,
            .run = [corner, travel_mm = std::move(travel_mm), rack_mm = std::move(rack_mm),
                    block = std::vector<double>((output_count + curve_count) * curve_size)](long states) mutable {
                for (long done = 0; done < states; done += curve_size) curves(corner, travel_mm, rack_mm, block.data());
                sink = block[0];
            }};
}

Row whole_slopes(const SweepCase& c) {
    return {.name = "rates_per_travel",
            .what = "how the effect table moves with travel, from the drawn position",
            .run = round(c.shuffled, [setup = c.setup, hold = c.hold](double value, std::size_t) {
                return rates_per_travel(setup, hold, value)[0][0];
            })};
}

/// Pads that differ from state to state, by tenths of a mm.
std::vector<PadHeights> uneven_pads() {
    std::mt19937 random(3);
    std::uniform_real_distribution<double> off_mm(-0.5, 0.5);
    std::vector<PadHeights> all(geometry_count);
    for (PadHeights& pads : all)
        for (double& pad : pads) pad = off_mm(random);
    return all;
}

Row at_rest(const Car& car) {
    return {.name = "rest",
            .what = "car at rest, from the drawn positions, other pads in each state",
            .aim_us = 20.0,
            .run =
                [m = rest_model(car), pads = uneven_pads()](long states) {
                    double sum = 0.0;
                    for (long i = 0; i < states; ++i)
                        sum += rest(m, pads[static_cast<std::size_t>(i) % geometry_count]).pose.height_mm;
                    sink = sum;
                },
            .states = 1'000};
}

Row rest_with_table(const Car& car) {
    const RestModel m = rest_model(car);
    const auto outputs = rest_outputs(m);
    const auto variables = rest_variables(m);
    return {.name = "rest_table",
            .what = "the same with its table, " + std::to_string(variables.size()) + " turns, pads and ballasts by " +
                    std::to_string(outputs.size()) + " values",
            .aim_us = 60.0,
            .run =
                [m, outputs, variables, pads = uneven_pads()](long states) {
                    double sum = 0.0;
                    for (long i = 0; i < states; ++i) {
                        const PadHeights& now = pads[static_cast<std::size_t>(i) % geometry_count];
                        sum += rest_rates(m, rest(m, now), now, outputs, variables)(0, 0);
                    }
                    sink = sum;
                },
            .states = 500};
}

Row reduced(const Car& car) {
    return {.name = "reduce",
            .what = "a whole sheet of readings with its covariance",
            .run =
                [car, sheet = load_readings(SHIMWISE_DEMO_READINGS, car)](long sheets) {
                    double sum = 0.0;
                    for (long i = 0; i < sheets; ++i) sum += reduce(sheet, car).values.covariance(0, 0);
                    sink = sum;
                },
            .states = 100};
}

Row held_against(const Car& car) {
    return {.name = "contradictions",
            .what = "a whole sheet read, held against the car at rest, and what contradicts said",
            .run =
                [car, sheet = load_readings(SHIMWISE_DEMO_READINGS, car)](long sheets) {
                    double sum = 0.0;
                    for (long i = 0; i < sheets; ++i) sum += contradictions(reduce(sheet, car), car)->chi_square;
                    sink = sum;
                },
            .states = 100};
}

Row planned(const Car& car) {
    return {.name = "plan",
            .what = "every plan of the demo's morning",
            .run =
                [car, measured = reduce(load_readings(SHIMWISE_DEMO_READINGS, car), car),
                 targets = load_targets(SHIMWISE_DEMO_TARGETS, car)](long plans) {
                    double sum = 0.0;
                    for (long i = 0; i < plans; ++i) sum += plan(car, measured, targets).closest.cost;
                    sink = sum;
                },
            .states = 10};
}

Row joint_chance(const Car& car) {
    return {.name = "joint_chance",
            .what = "the chance to pass of the demo's plan to 1e-4",
            .run =
                [next = plan(car, reduce(load_readings(SHIMWISE_DEMO_READINGS, car), car),
                             load_targets(SHIMWISE_DEMO_TARGETS, car))
                            .closest.next](long chances) {
                    double sum = 0.0;
                    for (long i = 0; i < chances; ++i) sum += chance(next).value;
                    sink = sum;
                },
            .states = 10};
}

Row tiny_solver(const SweepCase& c) {
    std::vector<double> up_and_down = c.values;
    up_and_down.insert(up_and_down.end(), c.values.rbegin(), c.values.rend());
    return {.name = "tiny_solver",
            .what = "Ceres TinySolver, one sensitivity, warm from the neighbour",
            .run = round(up_and_down, [s = std::make_shared<TinySolverCorner>(c.setup)](double height, std::size_t) {
                const TinySolverCorner::State state = (*s)(height);
                return state.toe_deg + state.toe_deg_per_mm;
            })};
}

/// The front left corner with one adjuster more than it has, which makes eight.
Setup corner_of_eight(const Car& car) {
    Corner corner = car[CornerId::front_left];
    corner.adjusters.push_back({.name = "lower front leg",
                                .changes = {{Length::lower_wishbone_front_leg, {1.0, 0.0, 0.0}}},
                                .setting = Thread{}});
    return setup(corner);
}

/// Largest error of a link's length or of the held height, the corner's joints placed at a half tangent.
double residual_mm(const SweepCase& c, double value, double half_tan) {
    const Parts<double> parts = c.setup.parts();
    const Linkage<double> l = linkage(c.setup.geometry, parts);
    const Pose<double> p = pose(l, half_tan);
    const std::array<Vec3<double>, point_count> at = joints(parts, l, p, strut(l, p));
    double worst = std::fabs(held_value(l, p, c.hold).value - value);
    const auto link = [&](Point a, Point b, Length length) {
        const double now = std::sqrt(squared(at[index(a)] - at[index(b)]));
        if (!(std::fabs(now - parts.at(length)) <= worst)) worst = std::fabs(now - parts.at(length));
    };
    link(Point::upper_wishbone_front, Point::upper_wishbone_outer, Length::upper_wishbone_front_leg);
    link(Point::upper_wishbone_rear, Point::upper_wishbone_outer, Length::upper_wishbone_rear_leg);
    link(Point::lower_wishbone_front, Point::lower_wishbone_outer, Length::lower_wishbone_front_leg);
    link(Point::lower_wishbone_rear, Point::lower_wishbone_outer, Length::lower_wishbone_rear_leg);
    link(Point::track_rod_inner, Point::track_rod_outer, Length::track_rod);
    return worst;
}

/// Widens `worst` by one state; what is not a number stays one.
template <class State>
void compare(Accuracy& worst, const Expected& wanted, const State& state, double residual) {
    const auto widen = [](double& most, double difference) {
        if (!(std::fabs(difference) <= most)) most = std::fabs(difference);
    };
    widen(worst.residual_mm, residual);
    widen(worst.angle_deg, state.toe_deg - wanted.toe_deg);
    widen(worst.angle_deg, state.camber_deg - wanted.camber_deg);
    widen(worst.rate, state.toe_deg_per_mm - wanted.toe_deg_per_mm);
    widen(worst.rate, state.camber_deg_per_mm - wanted.camber_deg_per_mm);
}

SweepCase contact_case(const Car& car) { return sweep_case(corner_of_eight(car), Held::contact); }

std::vector<Expected> expected(const SweepCase& c) {
    std::vector<Expected> all;
    for (const double value : c.values) {
        const Rates r = rates(c.setup, c.hold, value);
        const Outputs<double>& per_mm = r.per_mm[track_rod];
        all.push_back({value, r.values[index(Output::toe)], r.values[index(Output::camber)], per_mm[index(Output::toe)],
                       per_mm[index(Output::camber)]});
    }
    return all;
}

}  // namespace

std::vector<Row> rows(const Car& car) {
    const Setup setup = corner_of_eight(car);
    const SweepCase contact = sweep_case(setup, Held::contact);
    std::vector<Row> all = {
        one_sensitivity("one_sensitivity", contact, 0.25),
        one_sensitivity("one_sensitivity_wheel", sweep_case(setup, Held::wheel), 0.0),
        one_sensitivity("one_sensitivity_spring", sweep_case(setup, Held::spring), 0.0),
        drawn_start(contact),
        new_geometry(contact),
        whole_sweep(contact),
        effect_table("effect_table", contact, kernel(), 2.0),
        effect_table("effect_table_base", contact, *kernel_by_name("base"), 0.0),
        whole_rates(contact),
        whole_slopes(contact),
        whole_curves(car[CornerId::front_left]),
        at_rest(car),
        rest_with_table(car),
        reduced(car),
        held_against(car),
        planned(car),
        joint_chance(car),
        tiny_solver(contact),
    };
    for (Row& row : swept_rows(car)) all.push_back(std::move(row));
    for (Row& row : integer_rows()) all.push_back(std::move(row));
    return all;
}

double microseconds_a_state(const Row& row, long states) {
    const auto start = std::chrono::steady_clock::now();
    row.run(states);
    const std::chrono::duration<double, std::micro> taken = std::chrono::steady_clock::now() - start;
    return taken.count() / static_cast<double>(states);
}

std::vector<Expected> expected(const Car& car) { return expected(contact_case(car)); }

std::vector<Accuracy> accuracies(const Car& car) {
    const SweepCase c = contact_case(car);
    const SensitivitySweep sensitivities(c.setup, track_rod, c.hold, c.low(), c.high());
    TinySolverCorner peer(c.setup);
    Accuracy table{"table of starts"}, drawn{"from the drawn position"}, fresh{"geometry used once"},
        tiny{"Ceres TinySolver"};
    for (const Expected& wanted : expected(c)) {
        const double value = wanted.contact_height_mm;
        const auto own = [&](Accuracy& worst, const Sensitivity& s) {
            compare(worst, wanted, s, residual_mm(c, value, s.half_tan));
        };
        own(table, sensitivities(value));
        own(drawn, sensitivities.from_drawn(value));
        own(fresh, sensitivity(c.setup, track_rod, c.hold, value));
        const TinySolverCorner::State state = peer(value);
        compare(tiny, wanted, state, peer.residual_mm());
    }
    return {table, drawn, fresh, tiny};
}

}  // namespace bench

#include "shimwise/motion/sweep.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <iostream>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "motion/held_range.hpp"
#include "motion/kernel.hpp"
#include "shimwise/error.hpp"
#include "shimwise/motion/starts.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace corners;

namespace {

bool same_bits(double a, double b) { return std::memcmp(&a, &b, sizeof a) == 0; }

/// Columns of a sweep: [output][state].
struct Columns {
    std::vector<std::vector<double>> of;
    std::vector<double*> pointers;

    explicit Columns(std::size_t states) : of(output_count, std::vector<double>(states)) {
        for (auto& column : of) pointers.push_back(column.data());
    }
};

Columns swept(const Setup& s, const Hold& hold, const std::vector<double>& values, const Frame& frame) {
    Columns c(values.size());
    sweep(s, hold, values, frame, c.pointers.data());
    return c;
}

std::vector<double> shuffled(std::vector<double> values, Random& random) {
    std::shuffle(values.begin(), values.end(), random.engine());
    return values;
}

std::vector<const Kernel*> kernels() {
    std::vector<const Kernel*> all;
    for (const char* name : {"base", "avx2"})
        if (const Kernel* k = kernel_by_name(name)) all.push_back(k);
    return all;
}

}  // namespace

TEST_CASE("every lane has the bits of the scalar, whatever its neighbours, in every kernel") {
    const int count = test_size("states of the same bits in each sweep", 103, 1003);
    const auto all = kernels();
    std::size_t compared = 0;
    for (const Kind& kind : kinds())
        for (const Held held : holds()) {
            Random random("same bits", static_cast<int>(index(held)));
            const HeldRange c(kind, 1, held);
            const Linkage<double> l = linked(c.s);
            const Starts table(l, c.hold, c.low, c.high);
            REQUIRE(table.usable());
            std::vector<double> values = c.values(count);
            values[10] = 1e5;  // out of reach: its neighbours must not notice
            values[40] = -1e5;
            values = shuffled(values, random);
            for (const bool by_table : {false, true}) {
                std::vector<double> starts(values.size(), 0.0);
                if (by_table) std::transform(values.begin(), values.end(), starts.begin(), table);
                for (const Kernel* k : all) {
                    INFO(kind.name() << ", " << held_names[index(held)] << ", kernel " << k->name);
                    Columns columns(values.size());
                    std::vector<unsigned char> met(values.size());
                    k->sweep({.geometry = &c.s.geometry,
                              .amounts_mm = c.s.amounts_mm.data(),
                              .adjuster_count = static_cast<int>(c.s.amounts_mm.size()),
                              .rack_mm = c.s.rack_mm,
                              .hold = c.hold,
                              .frame = c.frame,
                              .values = values.data(),
                              .starts = starts.data(),
                              .count = static_cast<long>(values.size()),
                              .columns = columns.pointers.data(),
                              .met = met.data()});
                    for (std::size_t i = 0; i < values.size(); ++i) {
                        const bool reachable = std::fabs(values[i]) < 1e4;
                        CHECK((met[i] != 0) == reachable);
                        if (!reachable) continue;
                        const Position<double> p = position(l, c.hold, values[i], starts[i]);
                        REQUIRE(p.met);
                        const Outputs<double> out = outputs(l, p.pose, strut(l, p.pose), c.frame);
                        for (std::size_t o = 0; o < output_count; ++o) {
                            INFO(output_list[o].name << " " << columns.of[o][i] << ", scalar " << out[o]);
                            CHECK(same_bits(columns.of[o][i], out[o]));
                            ++compared;
                        }
                    }
                }
            }
        }
    std::cout << compared << " numbers with the same bits in " << all.size() << " kernels and the scalar\n";
}

TEST_CASE("four corners set and drawn each by itself have the bits of the scalar, in every kernel") {
    const int count = test_size("times four corners of the same bits", 20, 1000);
    for (const Kind& kind : kinds())
        for (const Held held : holds()) {
            Random random("four corners", static_cast<int>(index(held)));
            const Corner drawn = corner(kind, 1);
            const DrawnPoints<double> points = drawn_points(drawn);
            const Setup given = setup(drawn);
            for (int i = 0; i < count; ++i) {
                std::array<Corner, kernel_lanes> each;
                each.fill(drawn);
                std::vector<FourMoves> moves;
                const bool as_drawn = i % 3 == 1;
                for (std::size_t p = 0; p < point_count && i % 3 != 0; ++p) {
                    if (!drawn.points[p]) continue;
                    moves.push_back({p, 1, {}});
                    for (std::size_t lane = 0; lane < kernel_lanes; ++lane) {
                        const double by_mm = moves.back().by_mm[lane] = random.within(0.5);
                        (as_drawn ? *each[lane].points[p] : each[lane].built_off_mm[p]).y += by_mm;
                    }
                }
                std::vector<FourNumbers> amounts(given.amounts_mm.size());
                for (FourNumbers& amount : amounts)
                    for (double& lane : amount) lane = random.within(0.5);
                FourInput in = {.geometry = &given.geometry,
                                .amounts_mm = amounts.data(),
                                .adjuster_count = static_cast<int>(amounts.size()),
                                .rack_mm = {},
                                .points = &points,
                                .moves = moves.data(),
                                .move_count = moves.size(),
                                .as_drawn = as_drawn,
                                .hold = {.what = held},
                                .held = {}};
                for (std::size_t lane = 0; lane < kernel_lanes; ++lane) {
                    in.rack_mm[lane] = random.within(3.0);
                    in.held[lane] =
                        held == Held::wheel ? random.within(15.0) : present_value(given, in.hold, random.within(15.0));
                }
                const auto beyond = static_cast<std::size_t>(i) % (kernel_lanes + 1);  // none in the last round
                if (beyond < kernel_lanes) in.held[beyond] += 1000.0;
                for (const Kernel* k : kernels()) {
                    INFO(kind.name() << ", " << held_names[index(held)] << ", kernel " << k->name);
                    std::array<FourNumbers, output_count> columns;
                    const unsigned left = k->four(in, columns.data());
                    for (std::size_t lane = 0; lane < kernel_lanes; ++lane) {
                        Setup s = setup(each[lane], in.rack_mm[lane]);
                        for (std::size_t a = 0; a < amounts.size(); ++a) s.amounts_mm[a] = amounts[a][lane];
                        const double from_mm = held == Held::wheel ? s.geometry.drawn.wheel_height_mm : 0.0;
                        const Linkage<double> l = linked(s);
                        const Solved solved = solve(l, in.hold, from_mm + in.held[lane]);
                        REQUIRE((solved.status == Status::ok) == (lane != beyond));
                        REQUIRE(((left >> lane) & 1U) == (lane == beyond ? 1U : 0U));
                        if (lane == beyond) continue;
                        const Outputs<double> out = outputs(l, solved.pose, solved.strut, Frame{});
                        for (std::size_t o = 0; o < output_count; ++o) REQUIRE(same_bits(columns[o][lane], out[o]));
                    }
                }
            }
        }
}

TEST_CASE("a sweep of shuffled values is each value by itself") {
    for (const Kind& kind : kinds())
        for (const Held held : holds()) {
            INFO(kind.name() << ", " << held_names[index(held)]);
            Random random("shuffled", static_cast<int>(index(held)));
            const HeldRange c(kind, 2, held);
            const std::vector<double> values = shuffled(c.values(61), random);
            const Columns all = swept(c.s, c.hold, values, c.frame);
            for (std::size_t i = 0; i < values.size(); ++i) {
                const Columns one = swept(c.s, c.hold, {values[i]}, c.frame);
                const Outputs<double> out = outputs_at(c.s, c.hold, values[i], c.frame);
                for (std::size_t o = 0; o < output_count; ++o) {
                    CHECK(same_bits(all.of[o][i], one.of[o][0]));
                    CHECK(same_bits(all.of[o][i], out[o]));
                }
            }
        }
}

TEST_CASE("a long sweep, which makes a table of starts, is the same in any order and agrees with short ones") {
    double worst = 0.0;
    for (const Kind& kind : kinds())
        for (const Held held : holds()) {
            INFO(kind.name() << ", " << held_names[index(held)]);
            Random random("long", static_cast<int>(index(held)));
            const HeldRange c(kind, 0, held);
            const std::vector<double> values = c.values(2051);
            const Columns in_order = swept(c.s, c.hold, values, c.frame);
            std::vector<std::size_t> order(values.size());
            for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
            std::shuffle(order.begin(), order.end(), random.engine());
            std::vector<double> mixed;
            for (const std::size_t i : order) mixed.push_back(values[i]);
            const Columns in_disorder = swept(c.s, c.hold, mixed, c.frame);
            bool same = true;
            for (std::size_t o = 0; o < output_count; ++o)
                for (std::size_t i = 0; i < order.size(); ++i)
                    same = same && same_bits(in_disorder.of[o][i], in_order.of[o][order[i]]);
            CHECK(same);
            for (std::size_t i = 0; i < values.size(); i += 41) {
                const Outputs<double> out = outputs_at(c.s, c.hold, values[i], c.frame);
                for (std::size_t o = 0; o < output_count; ++o) {
                    CHECK_NEAR(in_order.of[o][i], out[o], 1e-9);
                    worst = std::max(worst, std::fabs(in_order.of[o][i] - out[o]));
                }
            }
        }
    std::cout << "long sweeps agree with single states to " << worst << " deg or mm\n";
}

TEST_CASE("a sweep throws for a state out of reach, with the amount, and no state at all is fine") {
    const HeldRange c({}, 0, Held::wheel);
    std::vector<double> values = c.values(10);
    values[7] = 2000.0;
    Columns columns(values.size());
    std::string words;
    try {
        sweep(c.s, c.hold, values, c.frame, columns.pointers.data());
    } catch (const OutOfReach& e) {
        words = e.what();
    }
    CHECK(words == in_words(solve(linked(c.s), c.hold, 2000.0), linked(c.s), c.hold));
    CHECK_NOTHROW(sweep(c.s, c.hold, {}, c.frame, nullptr));
}

TEST_CASE("the effect table has the same bits in every kernel") {
    const auto all = kernels();
    for (const Kind& kind : kinds())
        for (const Held held : holds()) {
            INFO(kind.name() << ", " << held_names[index(held)]);
            const HeldRange c(kind, 1, held);
            const int count = static_cast<int>(c.s.amounts_mm.size());
            const Solved solved = solve(linked(c.s), c.hold, 0.5 * (c.low + c.high));
            for (int first = 0; first < count; first += adjusters_per_pass) {
                std::vector<Outputs<double>> values(all.size());
                std::vector<std::vector<double>> rates(all.size(),
                                                       std::vector<double>(output_count * rates_per_output));
                for (std::size_t k = 0; k < all.size(); ++k)
                    all[k]->table({.geometry = &c.s.geometry,
                                   .amounts_mm = c.s.amounts_mm.data(),
                                   .adjuster_count = count,
                                   .first_adjuster = first,
                                   .rack_mm = c.s.rack_mm,
                                   .half_tan = solved.half_tan,
                                   .hold = c.hold,
                                   .frame = c.frame},
                                  values[k].data(), rates[k].data());
                const Outputs<double> out = outputs(linked(c.s), solved.pose, solved.strut, c.frame);
                for (std::size_t o = 0; o < output_count; ++o) CHECK_NEAR(values[0][o], out[o], 1e-11);
                for (std::size_t k = 1; k < all.size(); ++k) {
                    CHECK(std::memcmp(values[0].data(), values[k].data(), sizeof values[0]) == 0);
                    CHECK(std::memcmp(rates[0].data(), rates[k].data(), rates[0].size() * sizeof(double)) == 0);
                }
            }
        }
}

TEST_CASE("a sweep of spring lengths to near the ends of reach keeps the branch of each state by itself") {
    int states = 0;
    for (const Kind& kind : kinds())
        for (int seed = 0; seed < 4; ++seed) {
            const Setup s = turned(kind, seed);
            const Hold hold = {.what = Held::spring};
            const Solved ends = solve(linked(s), hold, 1e6);
            REQUIRE(ends.status == Status::out_of_reach);
            const double margin = 1e-3 * (ends.highest - ends.lowest);
            std::vector<double> values;
            for (int i = 0; i <= 300; ++i)
                values.push_back(ends.lowest + margin + (ends.highest - ends.lowest - 2.0 * margin) * i / 300.0);
            const Columns columns = swept(s, hold, values, {});
            for (std::size_t i = 0; i < values.size(); ++i) {
                INFO(kind.name() << ", seed " << seed << ", spring at " << values[i]);
                const Outputs<double> out = outputs_at(s, hold, values[i]);
                CHECK_NEAR(columns.of[index(Output::caster)][i], out[index(Output::caster)], 1e-6);
                CHECK_NEAR(columns.of[index(Output::half_track)][i], out[index(Output::half_track)], 1e-6);
                ++states;
            }
        }
    std::cout << states << " spring lengths of sweeps on the branch of each by itself\n";
}

TEST_CASE("a long sweep finishes by itself what its table of starts can not, each in its own place") {
    // A wheel that passes upright: contact heights in the jump from the disc's edge to its middle are met by nobody.
    const Setup s = upright_corner({});
    std::vector<double> values;
    // Of the two jumps, the one that leaves a gap: at the other two poses have the same contact height.
    const double jump = jump_height(s, tolerances::upright_deg);
    for (int i = 0; i < 2000; ++i) values.push_back(jump + (i - 1000) * 1e-5);
    Random random("by itself", 0);
    values = shuffled(values, random);
    const Columns all = swept(s, {}, values, {});
    int in_jump = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        INFO("contact at " << values[i] << ", state " << i);
        const Outputs<double> out = outputs_at(s, {}, values[i]);
        for (std::size_t o = 0; o < output_count; ++o) CHECK_NEAR(all.of[o][i], out[o], 1e-8);
        in_jump += std::fabs(out[index(Output::chassis_height)] + values[i]) > tolerances::held_mm;
    }
    CHECK(in_jump >= 150);
    CHECK(in_jump <= 200);
}

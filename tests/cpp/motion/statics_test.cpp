// Every derivative has three witnesses: dual numbers, the 6x6, and differences of poses solved anew.
#include <algorithm>
#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "motion/differences.hpp"
#include "shimwise/error.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace corners;

namespace {

using Table = std::vector<Outputs<double>>;

Outputs<double> at_amount(Setup s, std::size_t adjuster, double more_mm, const Hold& hold, double value,
                          const Frame& frame) {
    s.amounts_mm[adjuster] += more_mm;
    return outputs_at(s, hold, value, frame);
}

double largest(const Table& table, Output output) {
    double most = 0.0;
    for (const auto& row : table) most = std::max(most, std::fabs(row[index(output)]));
    return most;
}

bool first_order(Output o) {
    return std::find(first_order_outputs.begin(), first_order_outputs.end(), o) != first_order_outputs.end();
}

/// Worst error over all combinations, as a share of what is allowed.
struct Worst {
    double share = 0.0;
    std::string where;

    bool take(double error, double allowed, const std::string& at) {
        const double now = error / allowed;
        if (!(now <= share)) {
            share = now;
            where = at;
        }
        return error <= allowed;
    }
};

struct Case {
    Kind kind;
    Held held = Held::wheel;
    bool leaning = false;
    int seed = 0;

    Setup setup() const { return turned(kind, seed); }
    Frame frame() const { return leaning ? tilted(kind.left) : Frame{}; }
    Hold hold() const { return {held, frame().z}; }
    std::string name() const {
        return kind.name() + ", " + std::string(held_names[index(held)]) + " held" +
               (leaning ? ", leaning frame" : "") + ", seed " + std::to_string(seed);
    }
};

std::vector<Case> cases(int seeds) {
    std::vector<Case> all;
    for (int seed = 0; seed < seeds; ++seed)
        for (const Kind& kind : kinds())
            for (const Held held : holds())
                for (const bool leaning : {false, true}) all.push_back({kind, held, leaning, seed});
    return all;
}

/// A state off the drawn one.
double value_of(const Case& c) { return present_value(c.setup(), c.hold(), Random("travel", c.seed).within(15.0)); }

bool positive_zero(double x) { return x == 0.0 && !std::signbit(x); }

}  // namespace

TEST_CASE("dual numbers, the 6x6 and differences give the same effect table") {
    const int seeds = test_size("effect tables by three witnesses, corners of each kind", 2, 12);
    Worst matrix_worst, difference_worst;
    std::size_t entries = 0;
    for (const Case& c : cases(seeds)) {
        INFO(c.name());
        const Setup s = c.setup();
        const Frame frame = c.frame();
        const Hold hold = c.hold();
        const double value = value_of(c);
        const Rates dual = rates(s, hold, value, frame);
        const auto matrix = rates_by_matrix(s, hold, value, frame);
        REQUIRE(dual.per_mm.size() == s.amounts_mm.size());
        REQUIRE(matrix.size() == s.amounts_mm.size());
        Table differences;
        for (std::size_t a = 0; a < s.amounts_mm.size(); ++a)
            differences.push_back(
                by_differences(0.1, [&](double more) { return at_amount(s, a, more, hold, value, frame); }));

        for (std::size_t o = 0; o < output_count; ++o) {
            const auto output = static_cast<Output>(o);
            // 1e-8 of the largest entry of that output over all adjusters, not below 1e-9 deg or mm per mm.
            const double most = largest(dual.per_mm, output);
            const double allowed = std::max(1e-8 * most, first_order(output) ? 1e-9 : 1e-12);
            for (std::size_t a = 0; a < s.amounts_mm.size(); ++a) {
                INFO(output_list[o].name << " by adjuster " << a << ": " << dual.per_mm[a][o] << ", differences "
                                         << differences[a][o]);
                const std::string at = c.name() + ", " + std::string(output_list[o].name) + ", " + std::to_string(a);
                CHECK(difference_worst.take(std::fabs(dual.per_mm[a][o] - differences[a][o]), allowed, at));
                ++entries;
            }
        }
        for (std::size_t i = 0; i < first_order_outputs.size(); ++i) {
            const std::size_t o = index(first_order_outputs[i]);
            const double most = largest(dual.per_mm, first_order_outputs[i]);
            for (std::size_t a = 0; a < s.amounts_mm.size(); ++a) {
                INFO(output_list[o].name << " by adjuster " << a << ": " << dual.per_mm[a][o] << ", matrix "
                                         << matrix[a][i]);
                const std::string at = c.name() + ", " + std::string(output_list[o].name) + ", " + std::to_string(a);
                CHECK(matrix_worst.take(std::fabs(dual.per_mm[a][o] - matrix[a][i]), 1e-12 * std::max(1.0, most), at));
            }
        }
    }
    std::cout << entries << " derivatives by differences: worst " << difference_worst.share << " of what is allowed ("
              << difference_worst.where << ")\n"
              << "by the 6x6: worst " << matrix_worst.share << " of 1e-12 (" << matrix_worst.where << ")\n";
}

TEST_CASE("motion ratio, bump steer and camber gain come out of the null motion of the 6x6 too") {
    const int seeds = test_size("null motion by three witnesses, corners of each kind", 3, 30);
    Worst matrix_worst, difference_worst;
    for (const Case& c : cases(seeds)) {
        INFO(c.name());
        const Setup s = c.setup();
        const Frame frame = c.frame();
        const Linkage<double> l = linked(s);
        const double value = value_of(c);
        const Solved solved = solve(l, c.hold(), value);
        REQUIRE(solved.status == Status::ok);
        const Outputs<double> dual = rates(s, c.hold(), value, frame).values;
        const NullRates null = null_rates(s, solved, frame);
        const auto check = [&](Output o, double by_matrix, double by_differences) {
            INFO(output_list[index(o)].name);
            const std::string at = c.name() + ", " + std::string(output_list[index(o)].name);
            CHECK(matrix_worst.take(std::fabs(dual[index(o)] - by_matrix), 1e-12, at));
            CHECK(difference_worst.take(std::fabs(dual[index(o)] - by_differences), 1e-9, at));
        };
        const Hold wheel = {.what = Held::wheel};
        const double height_mm = solved.pose.wheel_centre.z;
        const Outputs<double> per_travel =
            by_differences(0.1, [&](double more) { return outputs_at(s, wheel, height_mm + more, frame); });
        check(Output::bump_steer, null.bump_steer_deg_per_mm, per_travel[index(Output::toe)]);
        check(Output::camber_gain, null.camber_gain_deg_per_mm, per_travel[index(Output::camber)]);
        check(Output::motion_ratio, null.motion_ratio,
              per_travel[index(Output::spring_length)] / per_travel[index(Output::chassis_height)]);

        const Twist twist = null_twist(s, solved, c.hold());
        const Twist kept = constraints(s, solved, c.hold()) * twist - Twist::Unit(5);
        CHECK(kept.cwiseAbs().maxCoeff() <= 1e-12);
    }
    std::cout << "null motion by the 6x6: worst " << matrix_worst.share << " of 1e-12 (" << matrix_worst.where
              << "), by differences: worst " << difference_worst.share << " of 1e-9 (" << difference_worst.where
              << ")\n";
}

TEST_CASE("second derivatives are the differences of the null motion of the 6x6") {
    const int seeds = test_size("second derivatives by the 6x6, corners of each kind", 1, 6);
    Worst worst;
    for (const Case& c : cases(seeds)) {
        INFO(c.name());
        const Setup s = c.setup();
        const double value = value_of(c);
        const Rates dual = rates(s, c.hold(), value, c.frame());
        const std::array<Output, 3> second = {Output::motion_ratio, Output::bump_steer, Output::camber_gain};
        for (std::size_t a = 0; a < s.amounts_mm.size(); ++a) {
            const auto by_matrix = by_differences(0.1, [&](double more) {
                Setup now = s;
                now.amounts_mm[a] += more;
                const NullRates n = null_rates(now, solve(linked(now), c.hold(), value), c.frame());
                return std::array<double, 3>{n.motion_ratio, n.bump_steer_deg_per_mm, n.camber_gain_deg_per_mm};
            });
            for (std::size_t i = 0; i < second.size(); ++i) {
                INFO(output_list[index(second[i])].name << " by adjuster " << a);
                const double allowed = std::max(1e-8 * largest(dual.per_mm, second[i]), 1e-12);
                CHECK(worst.take(std::fabs(dual.per_mm[a][index(second[i])] - by_matrix[i]), allowed, c.name()));
            }
        }
    }
    std::cout << "second derivatives by the 6x6: worst " << worst.share << " of what is allowed (" << worst.where
              << ")\n";
}

TEST_CASE("what is zero by construction is exactly 0 and not -0") {
    const int seeds = test_size("exact zeros, corners of each kind", 2, 12);
    std::size_t zeros = 0;
    for (const Case& c : cases(seeds)) {
        const Corner drawn = corner(c.kind, c.seed);
        const Rates r = rates(c.setup(), c.hold(), value_of(c), c.frame());
        const auto zero = [&](const std::string& adjuster, const std::vector<Output>& outputs) {
            const auto a = drawn.find(adjuster);
            REQUIRE(a.has_value());
            for (const Output o : outputs) {
                INFO(c.name() << ": " << output_list[index(o)].name << " by the " << adjuster << " = "
                              << r.per_mm[*a][index(o)]);
                CHECK(positive_zero(r.per_mm[*a][index(o)]));
                ++zeros;
            }
        };
        std::vector<Output> all, but_strut;
        for (std::size_t o = 0; o < output_count; ++o) {
            all.push_back(static_cast<Output>(o));
            if (all.back() != Output::spring_length && all.back() != Output::motion_ratio)
                but_strut.push_back(all.back());
        }
        const std::vector<Output> attitude = {Output::toe, Output::camber, Output::inclination, Output::caster,
                                              Output::kingpin_inclination};
        zero("spring platform", all);
        zero("drop link", all);
        if (c.held != Held::spring) {
            zero("spring shim", but_strut);
            if (c.kind.rocker) zero("pushrod", but_strut);
            if (c.kind.rocker) zero("rocker shim", but_strut);
        }
        for (const Adjuster& adjuster : drawn.adjusters) {
            if (c.held == Held::spring) zero(adjuster.name, {Output::spring_length});
            if (c.held == Held::contact) zero(adjuster.name, {Output::chassis_height});
        }
        if (c.held == Held::spring) {
            zero("hub shim", attitude);
            // With the spring held and the strut on a wishbone the wishbones stay, and the steering axis with it.
            if (c.kind.strut_on != Body::upright)
                for (const char* steering : {"track rod", "steering shim"})
                    zero(steering, {Output::caster, Output::kingpin_inclination});
        }
    }
    std::cout << zeros << " exact zeros\n";
}

TEST_CASE("the 6x6 refuses a state out of reach with the amount") {
    const Setup s = turned({}, 0);
    CHECK_THROWS_AS(rates_by_matrix(s, {.what = Held::wheel}, 2000.0), OutOfReach);
}

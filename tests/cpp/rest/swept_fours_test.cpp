// Four states at once against each state by itself.
#include "rest/swept_fours.hpp"

#include <cstring>
#include <random>

#include "catch.hpp"
#include "demo_path.hpp"
#include "rest/cars.hpp"
#include "shimwise/model/car_file.hpp"
#include "size.hpp"

using namespace shimwise;

namespace {

using Of = SweptInput::Of;

bool same_bits(double a, double b) { return std::memcmp(&a, &b, sizeof a) == 0; }

/// All that may be set of two corners, and all outputs of these, or of the car.
CarSweep of_two_corners(const Car& car, SweepHold hold, Moved moved, bool points) {
    CarSweep sweep;
    sweep.car = car;
    sweep.hold = hold;
    sweep.moved = moved;
    for (const SweptInput& input : sweep_inputs(car, hold, moved))
        if (input.corner <= 1 && (points || input.of != Of::point)) sweep.columns.push_back({input, true, {}});
    for (const SweptOutput& output : sweep_outputs(car, hold))
        if (hold == SweepHold::rest || (output.corner <= 1 && output.row < output_count))
            sweep.outputs.push_back(output);
    return sweep;
}

struct Counted {
    int reached = 0, together = 0;
};

/// Draws states of a sweep and compares four at once with each by itself.
Counted demand_same_bits(const CarSweep& sweep, int fours, std::mt19937_64& random, double points_mm = 0.5) {
    SweptCar single(sweep), again(sweep);
    const auto four = swept_fours(sweep, single);
    REQUIRE(four);
    std::vector<FourNumbers> values(sweep.columns.size()), outputs(sweep.outputs.size());
    std::vector<double> of_one(values.size()), alone(outputs.size());
    Counted counted;
    for (int i = 0; i < fours; ++i) {
        for (std::size_t c = 0; c < values.size(); ++c) {
            const Of of = sweep.columns[c].input.of;
            const double most = of == Of::travel  ? 60.0
                                : of == Of::rack  ? 10.0
                                : of == Of::pad   ? 3.0
                                : of == Of::point ? points_mm
                                                  : 0.5;
            for (double& value : values[c]) value = most * (2.0 * static_cast<double>(random() >> 11) * 0x1p-53 - 1.0);
        }
        const unsigned left = four->at(values, outputs);
        for (std::size_t lane = 0; lane < kernel_lanes; ++lane) {
            for (std::size_t c = 0; c < values.size(); ++c) of_one[c] = values[c][lane];
            const bool found = again.at(of_one, alone).what == Obstacle::none;
            counted.reached += found ? 1 : 0;
            if (left & 1U << lane) continue;
            ++counted.together;
            REQUIRE(found);
            for (std::size_t o = 0; o < outputs.size(); ++o) {
                INFO(sweep.outputs[o].key << ": " << outputs[o][lane] << " together, " << alone[o] << " alone");
                REQUIRE(same_bits(outputs[o][lane], alone[o]));
            }
        }
    }
    return counted;
}

}  // namespace

TEST_CASE("four states at once have the bits of each by itself") {
    const int fours = test_size("times four states at once", 60, 5000);
    const Car car = load_car(testing::demo_path("wren.toml"));
    std::mt19937_64 random(16);
    for (const SweepHold hold : {SweepHold::wheel, SweepHold::contact, SweepHold::spring, SweepHold::rest})
        for (const auto& [points, moved] :
             {std::pair(false, Moved::built), {true, Moved::built}, {true, Moved::drawn}}) {
            INFO(sweep_hold_names[index(hold)] << (points ? moved_names[index(moved)] : ", no points"));
            const Counted counted = demand_same_bits(of_two_corners(car, hold, moved, points), fours, random);
            CHECK(counted.reached > fours);
            CHECK(counted.together >= counted.reached - counted.reached / 100);
        }
}

TEST_CASE("a state whose loops are drawn the other way round goes by itself") {
    const int fours = test_size("times four states with loops turned round", 200, 5000);
    const Car car = load_car(testing::demo_path("wren.toml"));
    std::mt19937_64 random(18);
    for (const SweepHold hold : {SweepHold::wheel, SweepHold::rest})
        for (const std::string point : {"track_rod.outer.x", "pushrod.inner.y", "rocker.axis_point.y"}) {
            INFO(sweep_hold_names[index(hold)] << ", " << point);
            CarSweep sweep = of_two_corners(car, hold, Moved::drawn, true);
            std::erase_if(sweep.columns, [&](const SweptColumn& column) {
                return column.input.of == Of::point && column.input.key != "front_left." + point;
            });
            const Counted counted = demand_same_bits(sweep, fours, random, 400.0);
            CHECK(counted.together > 0);
            CHECK(counted.reached > counted.together);
        }
}

TEST_CASE("four states of every kind of car at once have the bits of each by itself") {
    const int fours = test_size("times four states of each kind of car at once", 4, 250);
    std::mt19937_64 random(17);
    for (const cars::Kind& kind : cars::kinds())
        for (const SweepHold hold : {SweepHold::contact, SweepHold::rest}) {
            int together = 0, reached = 0;
            for (int seed = 0; seed < 3; ++seed) {
                INFO(kind.name << ", seed " << seed << ", " << sweep_hold_names[index(hold)]);
                const Moved moved = seed == 1 ? Moved::built : Moved::drawn;
                const Counted counted =
                    demand_same_bits(of_two_corners(cars::car(kind, seed), hold, moved, seed != 0), fours, random);
                together += counted.together;
                reached += counted.reached;
            }
            INFO(kind.name << ", " << sweep_hold_names[index(hold)]);
            if (!(kind.stop && hold == SweepHold::rest)) CHECK(together > reached / 2);  // on a stop one by one
        }
}

// Columns in, columns out: the numbers of one state at a time, in any order, chunk and number of threads.
#include "shimwise/rest/sweep.hpp"

#include <cstring>
#include <random>
#include <regex>

#include "catch.hpp"
#include "demo_path.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/rest/solve.hpp"
#include "size.hpp"

using namespace shimwise;

namespace {

using Of = SweptInput::Of;
using Bits = std::vector<std::uint64_t>;

/// A sweep over a list of states with its numbers.
struct Case {
    CarSweep sweep;
    std::vector<std::vector<double>> values;  // by column, then state
    std::size_t states = 0;

    void connect() {
        sweep.shape = {states};
        for (std::size_t i = 0; i < values.size(); ++i) sweep.columns[i].values = {values[i].data(), {1}};
    }
};

/// By how much an input of a kind is drawn about as it stands.
double spread(Of of) {
    switch (of) {
        case Of::adjuster:
            return 0.4;
        case Of::travel:
        case Of::rack:
            return 15.0;
        case Of::ballast:
            return 5.0;
        default:
            return 2.0;
    }
}

/// Of every kind that may be set one input or two, and of a stride of all outputs, or of those without curves.
Case drawn(SweepHold hold, Moved moved, bool points, bool curves, std::size_t states, unsigned seed) {
    std::mt19937_64 random(seed);
    Case made;
    made.sweep.car = load_car(testing::demo_path("wren.toml"));
    made.sweep.hold = hold;
    made.sweep.moved = moved;
    made.states = states;
    std::vector<SweptInput> all = sweep_inputs(made.sweep.car, hold, moved);
    std::shuffle(all.begin(), all.end(), random);
    std::array<int, 6> of_kind{};
    for (const SweptInput& input : all) {
        if ((input.of == Of::point && !points) || ++of_kind[static_cast<std::size_t>(input.of)] > 2) continue;
        made.sweep.columns.push_back({input, true, {}});
        std::vector<double> values(states);
        for (double& value : values)
            value = spread(input.of) * (2.0 * static_cast<double>(random() >> 11) * 0x1p-53 - 1.0);
        made.values.push_back(values);
    }
    const std::vector<SweptOutput> outputs = sweep_outputs(made.sweep.car, hold);
    for (std::size_t o = seed % 5; o < outputs.size(); o += 5)
        if (outputs[o].missing.empty() && (curves || outputs[o].row < output_count))
            made.sweep.outputs.push_back(outputs[o]);
    return made;
}

struct Found {
    std::vector<std::vector<double>> outputs;
    std::vector<signed char> status, corner;
    std::vector<double> short_by_mm, short_by_N;
};

Found swept(const Case& of, StateRange part, std::size_t threads) {
    const std::size_t count = part.last - part.first;
    Found found = {{},
                   std::vector<signed char>(count),
                   std::vector<signed char>(count),
                   std::vector<double>(count),
                   std::vector<double>(count)};
    found.outputs.assign(of.sweep.outputs.size(), std::vector<double>(count));
    SweepResults results = {
        {}, found.status.data(), found.corner.data(), found.short_by_mm.data(), found.short_by_N.data()};
    for (auto& output : found.outputs) results.outputs.push_back(output.data());
    sweep(of.sweep, part, results, threads, [](std::size_t) {});
    return found;
}

Bits bits(const Found& found, std::size_t state) {
    Bits all = {static_cast<std::uint64_t>(found.status[state]), static_cast<std::uint64_t>(found.corner[state])};
    const auto add = [&](double value) {
        all.emplace_back();
        std::memcpy(&all.back(), &value, sizeof value);
    };
    for (const auto& output : found.outputs) add(output[state]);
    add(found.short_by_mm[state]);
    add(found.short_by_N[state]);
    return all;
}

bool same_bits(const Found& one, std::size_t state, const Found& other, std::size_t there) {
    return bits(one, state) == bits(other, there);
}

/// The n-th number of a sentence.
double number(const std::string& sentence, int n) {
    const std::regex digits("-?[0-9]+\\.[0-9]+");
    auto at = std::sregex_iterator(sentence.begin(), sentence.end(), digits);
    for (int i = 0; i < n; ++i) ++at;
    return std::stod(at->str());
}

}  // namespace

TEST_CASE("a state has the same bits with any threads, part, order and neighbours") {
    const auto states = static_cast<std::size_t>(test_size("swept states", 150, 5000));
    unsigned seed = 0;
    for (const SweepHold hold : {SweepHold::wheel, SweepHold::contact, SweepHold::spring, SweepHold::rest})
        for (const int kind : {0, 1, 2, 3}) {
            const bool points = kind % 2 == 1, curves = kind / 2 == 1;
            Case one = drawn(hold, curves ? Moved::built : Moved::drawn, points, curves, states, ++seed);
            one.connect();
            INFO("seed " << seed << ", hold " << sweep_hold_names[index(hold)] << (points ? ", points" : "")
                         << (curves ? ", curves" : ""));
            const Found alone = swept(one, {0, states}, 1), threaded = swept(one, {0, states}, 3);
            const Found part = swept(one, {states / 3, states / 2}, 2);
            Case reversed = one;
            for (auto& values : reversed.values) std::reverse(values.begin(), values.end());
            reversed.connect();
            const Found back = swept(reversed, {0, states}, 2);
            std::size_t reached = 0;
            for (std::size_t i = 0; i < states; ++i) {
                reached += alone.status[i] == 0;
                REQUIRE(same_bits(alone, i, threaded, i));
                REQUIRE(same_bits(alone, i, back, states - 1 - i));
                if (i >= states / 3 && i < states / 2) REQUIRE(same_bits(alone, i, part, i - states / 3));
            }
            CHECK(reached > states / 2);
        }
}

TEST_CASE("a grid is read through its steps") {
    Case one = drawn(SweepHold::wheel, Moved::built, false, true, 1, 3);
    one.sweep.columns.resize(2);
    one.values = {{-0.3, 0.0, 0.2}, {0.1, -0.1}};
    one.sweep.shape = {3, 2};
    for (std::size_t i = 0; i < 2; ++i) one.sweep.columns[i].values.first = one.values[i].data();
    one.sweep.columns[0].values.steps = {1, 0};
    one.sweep.columns[1].values.steps = {0, 1};
    const Found grid = swept(one, {0, 6}, 1);
    Case listed = one;
    listed.values = {{-0.3, -0.3, 0.0, 0.0, 0.2, 0.2}, {0.1, -0.1, 0.1, -0.1, 0.1, -0.1}};
    listed.states = 6;
    listed.connect();
    const Found list = swept(listed, {0, 6}, 1);
    for (std::size_t i = 0; i < 6; ++i) CHECK(same_bits(grid, i, list, i));
}

TEST_CASE("a car at rest falls short by what its refusal says") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    const RestModel model = rest_model(car);
    std::mt19937_64 random(16);
    std::array<int, obstacle_names.size()> met{};
    const int cases = test_size("refusals of rest as shortfalls", 60, 1000);
    for (int refused = 0; refused < cases;) {
        PadHeights pads_mm{};
        for (double& pad : pads_mm) pad = 180.0 * static_cast<double>(random() >> 11) * 0x1p-53 - 90.0;
        try {
            rest(model, pads_mm);
        } catch (const Unreached& failure) {
            ++refused;
            const std::string why = failure.what();
            const Shortfall& by = failure.shortfall;
            INFO(why);
            ++met[index(by.what)];
            REQUIRE(by.what != Obstacle::none);
            if (by.corner) CHECK(why.starts_with(corner_names[index(*by.corner)]));
            const double amount = by.by_mm > 0.0 ? by.by_mm : by.by_N;
            if (by.what == Obstacle::damper_past_shortest || by.what == Obstacle::wheel_off_pad ||
                by.what == Obstacle::spring_would_pull) {
                CHECK((by.by_mm > 0.0) != (by.by_N > 0.0));
                CHECK(std::fabs(number(why, 0) - amount) <= (by.by_mm > 0.0 ? 0.0005001 : 0.050001));
            }
        }
    }
    CHECK(std::ranges::count_if(met, [](int times) { return times > 0; }) >= 2);
}

TEST_CASE("what cannot be set is refused with the rule") {
    const Car car = load_car(testing::demo_path("wren.toml"));
    const auto refusal = [&](const std::string& key, SweepHold hold, double value, bool change) -> std::string {
        for (const SweptInput& input : sweep_inputs(car, hold, Moved::built)) {
            if (input.key != key) continue;
            try {
                demand_settable(car, input, hold, value, change);
                return "";
            } catch (const InputError& failure) {
                return failure.what();
            }
        }
        return "no such input";
    };
    CHECK(refusal("rack_mm", SweepHold::rest, 33.0, false) == "rack_mm = 33: goes beyond rack.travel_mm = [-32, 32]");
    CHECK(refusal("rack_mm", SweepHold::rest, 32.0, false) == "");
    CHECK(refusal("ballast.fuel", SweepHold::rest, -12.5, true) == "ballast.fuel = -0.5: is a ballast of 0 kg or more");
    CHECK(refusal("ballast.fuel", SweepHold::rest, -12.0, true) == "");
    CHECK(refusal("pad.rear_left", SweepHold::rest, 2000.0, false) == "pads_mm: rear_left = 2000: goes beyond 1000 mm");
    CHECK(refusal("pad.rear_left", SweepHold::wheel, 2.0, false) == "no such input");
    CHECK(refusal("travel_mm", SweepHold::rest, 2.0, false) == "no such input");
    CHECK(refusal("front_left.camber shim", SweepHold::wheel, -0.5, false) ==
          "front_left.camber shim = -0.5: fitted_mm adds up to less than nothing: -0.5 mm");
}

TEST_CASE("an output is found by its names, with what held it is given") {
    using enum SweepHold;
    using Holds = std::vector<SweepHold>;
    const Car car = load_car(testing::demo_path("wren.toml"));
    for (const char* name : {"front_left.toe", "front_left.toe_deg", "toe", "toe_deg"})
        CHECK(holds_with(car, name) == Holds{wheel, contact, spring, rest});
    CHECK(holds_with(car, "roll_centre_height") == Holds{wheel, contact, spring});
    CHECK(holds_with(car, "cross_weight") == Holds{rest});
    CHECK(holds_with(car, "front_left.cross_weight").empty());
    CHECK(holds_with(car, "").empty());
    Car tips = car;
    for (Corner& corner : tips.corners) {
        corner.spring.load_at_drawn_N.reset();
        corner.spring.rests_as_drawn = true;
    }
    tips.mass.cg_mm->x = -3500.0;  // behind its rear wheels: it does not stand as drawn
    CHECK(holds_with(tips, "cross_weight").empty());
    CHECK(holds_with(tips, "front_left.toe") == Holds{wheel, contact, spring});
}

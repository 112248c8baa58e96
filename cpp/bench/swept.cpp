#include "swept.hpp"

#include <algorithm>
#include <memory>
#include <random>
#include <string_view>

#include "shimwise/rest/sweep.hpp"

namespace bench {
namespace {

using namespace shimwise;
using Of = SweptInput::Of;

constexpr std::size_t states = 1024;  // other ones in each; they go round

double spread(Of of) {
    switch (of) {
        case Of::travel:
            return 20.0;
        case Of::rack:
            return 5.0;
        default:
            return 0.5;
    }
}

/// A sweep with the room of its results.
struct Swept {
    CarSweep sweep;
    std::vector<std::vector<double>> values, outputs;
    std::vector<signed char> status, corner;
    std::vector<double> short_by_mm, short_by_N;
    SweepResults results;

    Swept(const Car& car, SweepHold hold, Moved moved, const auto& sets, const auto& gives)
        : status(states), corner(states), short_by_mm(states), short_by_N(states) {
        std::mt19937_64 random(16);
        sweep.car = car;
        sweep.hold = hold;
        sweep.moved = moved;
        sweep.shape = {states};
        for (const SweptInput& input : sweep_inputs(car, hold, moved)) {
            if (!sets(input)) continue;
            std::vector<double> numbers(states);
            for (double& number : numbers)
                number = spread(input.of) * (2.0 * static_cast<double>(random() >> 11) * 0x1p-53 - 1.0);
            values.push_back(std::move(numbers));
            sweep.columns.push_back({input, true, {values.back().data(), {1}}});
        }
        for (const SweptOutput& output : sweep_outputs(car, hold))
            if (gives(output)) sweep.outputs.push_back(output);
        outputs.assign(sweep.outputs.size(), std::vector<double>(states));
        results = {{}, status.data(), corner.data(), short_by_mm.data(), short_by_N.data()};
        for (auto& output : outputs) results.outputs.push_back(output.data());
    }

    void run(long count) const {
        for (auto left = static_cast<std::size_t>(count); left > 0; left -= std::min(left, states))
            shimwise::sweep(sweep, {0, std::min(left, states)}, results, 1, [](std::size_t) {});
    }
};

Row row(const std::string& name, const std::string& what, double aim_us, long count,
        const std::shared_ptr<Swept>& swept) {
    return {.name = name,
            .what = what,
            .aim_us = aim_us,
            .run = [swept](long wanted) { swept->run(wanted); },
            .states = count};
}

}  // namespace

std::vector<Row> swept_rows(const Car& car) {
    const auto key = [](std::string_view wanted) {
        return [wanted](const SweptOutput& output) { return output.key == wanted; };
    };
    const auto settings = [](const SweptInput& input) { return input.of != Of::point && input.corner == 0; };
    const auto points = [](const SweptInput& input) { return input.of == Of::point && input.corner == 0; };
    const auto any_point = [](const SweptInput& input) { return input.of == Of::point; };
    const auto toe = key("front_left.toe"), cross_weight = key("cross_weight");
    const auto made = [&](auto... of) { return std::make_shared<Swept>(car, of...); };
    constexpr long corners = 50'000, cars = 1'000;
    return {
        row("swept", "sweep of a corner, all adjusters, travel and rack", 0.3, corners,
            made(SweepHold::wheel, Moved::built, settings, toe)),
        row("swept_built", "the same with all its points as built", 0.6, corners,
            made(SweepHold::wheel, Moved::built, points, toe)),
        row("swept_drawn", "the same with all its points as drawn", 0.0, corners,
            made(SweepHold::wheel, Moved::drawn, points, toe)),
        row("swept_rest", "sweep of a car at rest, pads and settings of a corner, ballast", 10.0, cars,
            made(SweepHold::rest, Moved::built, settings, cross_weight)),
        row("swept_rest_built", "the same with all points of all corners as built", 20.0, cars,
            made(SweepHold::rest, Moved::built, any_point, cross_weight)),
    };
}

}  // namespace bench

#include "shimwise/motion/effects.hpp"

#include <cmath>
#include <iostream>

#include "catch.hpp"
#include "demo_path.hpp"
#include "motion/corners.hpp"
#include "shimwise/error.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;
using namespace corners;

namespace {

const Car& wren() {
    static const Car car = load_car(testing::demo_path("wren.toml"));
    return car;
}

constexpr std::array<CornerId, corner_count> all_corners = {CornerId::front_left, CornerId::front_right,
                                                            CornerId::rear_left, CornerId::rear_right};

}  // namespace

TEST_CASE("a thicker shim at the upright means more positive camber, left and right, whatever is held") {
    for (const Kind& kind : kinds())
        for (const Held held : holds())
            for (const char* shim : {"camber shim", "bracket shim"}) {
                INFO(kind.name() << ", " << held_names[index(held)] << ", " << shim);
                const Corner c = corner(kind);
                const Setup s = setup(c);
                const double value = present_value(s, {.what = held});
                const auto a = *c.find(shim);
                CHECK(rates(s, {.what = held}, value).per_mm[a][index(Output::camber)] > 0.1);
                Setup thicker = s;
                thicker.amounts_mm[a] += 1.0;
                CHECK(outputs_at(thicker, {.what = held}, value)[index(Output::camber)] >
                      outputs_at(s, {.what = held}, value)[index(Output::camber)] + 0.1);
            }
    int shims = 0;
    for (const CornerId id : all_corners) {
        const Corner& c = wren()[id];
        const EffectTable table = effects(wren(), id);
        for (const EffectRow& row : table.rows) {
            const Stack* stack = c.adjusters[row.adjuster].stack();
            if (stack == nullptr || stack->on != Body::upright || row.per != Per::mm) continue;
            INFO(corner_names[index(id)] << ", " << c.adjusters[row.adjuster].name);
            CHECK(row.change[index(Output::camber)] > 0.1);
            ++shims;
        }
    }
    CHECK(shims == 4);
}

TEST_CASE("rows of an effect table: per turn and per mm are derivatives, a step is what the gauge will show") {
    for (const CornerId id : all_corners)
        for (const Held held : holds()) {
            const Corner& c = wren()[id];
            const Setup s = setup(c, is_front(id) ? 4.0 : 0.0);
            const EffectTable table = effects(wren(), id, held, 7.5, s.rack_mm);
            CHECK(table.hold.what == held);
            CHECK_NEAR(table.held_value, present_value(s, table.hold, 7.5), 1e-9);
            const Rates r = rates(s, table.hold, table.held_value);
            std::vector<int> seen(c.adjusters.size());
            for (const EffectRow& row : table.rows) {
                const Adjuster& adjuster = c.adjusters[row.adjuster];
                INFO(corner_names[index(id)] << ", " << held_names[index(held)] << ", " << adjuster.name << ", "
                                             << row_name(adjuster, row.per));
                ++seen[row.adjuster];
                Setup after = s;
                after.amounts_mm[row.adjuster] += row.amount_mm;
                const Outputs<double> moved = outputs_at(after, table.hold, table.held_value);
                const bool derivative = row.per == Per::mm || row.per == Per::turn;
                if (row.per == Per::mm) CHECK(row.amount_mm == 1.0);
                if (row.per == Per::turn) CHECK(row.amount_mm == adjuster.thread()->lead_mm());
                if (row.per == Per::step_up) CHECK(row.amount_mm > 0.0);
                if (row.per == Per::step_down) CHECK(row.amount_mm < 0.0);
                for (std::size_t o = 0; o < output_count; ++o) {
                    INFO(output_list[o].name);
                    if (derivative)
                        CHECK_NEAR(row.change[o], r.per_mm[row.adjuster][o] * row.amount_mm, 1e-12);
                    else
                        CHECK_NEAR(row.change[o], moved[o] - table.values[o], 1e-9);
                }
            }
            for (std::size_t a = 0; a < seen.size(); ++a) {
                INFO(c.adjusters[a].name);
                CHECK(seen[a] >= (c.adjusters[a].thread() ? 4 : 2));
            }
        }
}

TEST_CASE("the effect table of a state out of reach is refused with the amount") {
    CHECK_THROWS_AS(effects(wren(), CornerId::front_left, Held::contact, 1000.0), OutOfReach);
}

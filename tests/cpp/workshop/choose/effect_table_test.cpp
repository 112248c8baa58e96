#include "shimwise/workshop/choose/effect_table.hpp"

#include <cmath>

#include "catch.hpp"
#include "demo_path.hpp"
#include "motion/corners.hpp"
#include "rest/cars.hpp"
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

TEST_CASE("every shim at an upright of the demo car means more positive camber when it is thicker") {
    int shims = 0;
    for (const CornerId id : all_corners) {
        const Corner& c = wren()[id];
        const EffectTable table = effects(wren(), id);
        for (const EffectRow& row : table.rows) {
            const Stack* stack = c.adjusters[row.variable].stack();
            if (stack == nullptr || stack->on != Body::upright || row.per != Per::mm) continue;
            INFO(corner_names[index(id)] << ", " << c.adjusters[row.variable].name);
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
                const Adjuster& adjuster = c.adjusters[row.variable];
                INFO(corner_names[index(id)] << ", " << held_names[index(held)] << ", " << adjuster.name << ", "
                                             << row_name(adjuster, row.per));
                ++seen[row.variable];
                Setup after = s;
                after.amounts_mm[row.variable] += row.amount;
                const Outputs<double> moved = outputs_at(after, table.hold, table.held_value);
                const bool derivative = row.per == Per::mm || row.per == Per::turn;
                if (row.per == Per::mm) CHECK(row.amount == 1.0);
                if (row.per == Per::turn) CHECK(row.amount == adjuster.thread()->lead_mm());
                if (row.per == Per::step_up) CHECK(row.amount > 0.0);
                if (row.per == Per::step_down) CHECK(row.amount < 0.0);
                for (std::size_t o = 0; o < output_count; ++o) {
                    INFO(output_list[o].name);
                    if (derivative)
                        CHECK_NEAR(row.change[o], r.per_mm[row.variable][o] * row.amount, 1e-12);
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

TEST_CASE("a step's row is the difference of re-solved cars, and a step back from there undoes it") {
    cars::each([](const cars::Kind&, const RestModel& m, const PadHeights& pads) {
        const RestTable table = rest_table(m, pads);
        CHECK(table.left_out.empty());
        int steps = 0, stacks = 0;
        for (const EffectRow& r : table.rows) {
            const RestVariable& v = table.variables[r.variable];
            INFO(v.key << " by " << r.amount);
            if (r.per == Per::step_up || r.per == Per::step_down) {
                ++steps;
                stacks += m.car.corners[v.corner].adjusters[v.index].stack() != nullptr;
                const std::vector<double> here = row(table.state.values, table.outputs);
                const std::vector<double> there = cars::values_with(m, pads, v, r.amount, table.outputs);
                RestModel after = m;
                after.setups[v.corner].amounts_mm[v.index] += r.amount;
                const std::vector<double> home = cars::values_with(after, pads, v, -r.amount, table.outputs);
                for (std::size_t o = 0; o < here.size(); ++o) {
                    const double size = 1e-9 * (1.0 + std::fabs(here[o]));
                    CHECK_NEAR(r.change[o], there[o] - here[o], size);
                    CHECK_NEAR(home[o] - there[o], -r.change[o], size);
                }
            }
        }
        // 17 adjusters with rocker, 15 without, each both ways; every corner's pack of shims among them.
        CHECK(steps == 2 * static_cast<int>(table.variables.size() - 5 - m.car.ballast.size()));
        CHECK(stacks == 8);
    });
}

TEST_CASE("rows per turn, mm and kg are the rates times their amounts") {
    cars::each([](const cars::Kind&, const RestModel& m, const PadHeights& pads) {
        const RestTable table = rest_table(m, pads);
        const Eigen::MatrixXd rates = rest_rates(m, table.state, pads);
        int turns = 0, kilograms = 0;
        for (const EffectRow& r : table.rows) {
            if (r.per == Per::step_up || r.per == Per::step_down) continue;
            turns += r.per == Per::turn;
            kilograms += r.per == Per::kg;
            const bool rack = table.variables[r.variable].of == RestVariable::Of::rack;
            CHECK(r.amount == (r.per != Per::turn ? 1.0 : rack ? 38.0 : 1.25));
            for (std::size_t o = 0; o < r.change.size(); ++o)
                CHECK(r.change[o] ==
                      rates(static_cast<Eigen::Index>(o), static_cast<Eigen::Index>(r.variable)) * r.amount);
        }
        // 4 packs and 4 pads have no turn, the rack has one.
        CHECK(turns == static_cast<int>(table.variables.size() - 4 - m.car.ballast.size()) - 4);
        CHECK(kilograms == static_cast<int>(m.car.ballast.size()));
    });
}

TEST_CASE("a row per flat stands behind each row per turn and is a sixth of it") {
    const auto expect_flats = [](const std::vector<EffectRow>& before, const std::vector<EffectRow>& after) {
        std::size_t flats = 0;
        for (std::size_t i = 0; i < after.size(); ++i) {
            if (after[i].per != Per::flat) {
                CHECK(after[i].amount == before[i - flats].amount);
                continue;
            }
            const EffectRow& turn = after[i - 1];
            ++flats;
            CHECK(turn.per == Per::turn);
            CHECK(after[i].variable == turn.variable);
            CHECK_NEAR(6.0 * after[i].amount, turn.amount, 1e-12);
            for (std::size_t o = 0; o < turn.change.size(); ++o)
                CHECK_NEAR(6.0 * after[i].change[o], turn.change[o], 1e-12);
        }
        CHECK(flats + before.size() == after.size());
        return flats;
    };
    const EffectTable corner = effects(wren(), CornerId::front_left);
    CHECK(expect_flats(corner.rows, with_flats(corner).rows) == 6);
    const RestTable whole = rest_table(rest_model(wren()));
    CHECK(expect_flats(whole.rows, with_flats(whole).rows) == 20);
}

TEST_CASE("rows are named by the way that the length goes, same-hand ends with the coarser thread outside too") {
    Car car = wren();
    Adjuster& rod = car[CornerId::front_left].adjusters[*car[CornerId::front_left].find("track rod")];
    Thread& thread = std::get<Thread>(rod.setting);
    for (const double second_pitch_mm : {0.5 * thread.pitch_mm, 1.5 * thread.pitch_mm}) {
        thread.ends = Ends::same_hand;
        thread.second_pitch_mm = second_pitch_mm;
        for (const EffectRow& row : effects(car, CornerId::front_left).rows) {
            if (&car[CornerId::front_left].adjusters[row.variable] != &rod) continue;
            const std::string_view way = row.amount > 0.0 ? "longer" : "shorter";
            CHECK(way_words(rod, row.amount) == way);
            if (row.per == Per::step_up || row.per == Per::step_down) CHECK(row_name(rod, row.per).ends_with(way));
        }
    }
    const Corner& c = wren()[CornerId::front_left];
    CHECK(way_words(c.adjusters[*c.find("camber shim")], -0.5) == "thinner");
    CHECK(way_words(c.adjusters[*c.find("camber shim")], 0.5) == "thicker");
}

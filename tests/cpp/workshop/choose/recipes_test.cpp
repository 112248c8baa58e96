#include "shimwise/workshop/choose/recipes.hpp"
#include "workshop/choose/recipe_settings.hpp"

#include <Eigen/SVD>
#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/tolerances.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "size.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

using Shims = std::vector<double>;

constexpr std::array<CornerId, corner_count> all_corners = {CornerId::front_left, CornerId::front_right,
                                                            CornerId::rear_left, CornerId::rear_right};
constexpr std::array<Output, 4> four = {Output::toe, Output::camber, Output::caster, Output::chassis_height};
constexpr Hold spring = {Held::spring, {0.0, 0.0, 1.0}};

std::string name_of(Output output) { return std::string(output_list[index(output)].name); }
bool keeps(const Recipe& recipe, Output output) {
    return std::find(recipe.kept.begin(), recipe.kept.end(), output) != recipe.kept.end();
}

Recipe recipe(const Car& car, CornerId id, Output output, double by) {
    const Recipes all = recipes(car, id, {{name_of(output), by}});
    REQUIRE(all.recipes.size() == 1);
    REQUIRE(all.recipes[0].output == output);
    return all.recipes[0];
}

std::vector<std::string> names(const Recipe& recipe) {
    std::vector<std::string> all;
    for (const RecipePart& part : recipe.parts) all.push_back(part.key.substr(part.key.find('.') + 1));
    return all;
}

Outputs<double> outputs_of(const Car& car, CornerId id, double spring_length_mm) {
    return outputs_at(setup(car[id]), spring, spring_length_mm);
}

}  // namespace

TEST_CASE("a recipe set on the car moves its output by what was asked, and leaves the others") {
    const Car car = wren_morning().car;
    int done = 0;
    for (const CornerId id : all_corners)
        for (const Output output : four)
            for (const double by : {0.05, -0.1, 0.4}) {
                INFO(corner_names[index(id)] << ", " << name_of(output) << " " << by);
                const Recipes all = recipes(car, id, {{name_of(output), by}});
                const Recipe& r = all.recipes.at(0);
                if (!r.refusal.empty()) continue;
                REQUIRE(r.inside());
                const double held = present_value(setup(car[id]), spring);
                CHECK_NEAR(all.spring_length_mm, held, 1e-9);
                const Outputs<double> now = outputs_of(car, id, held);
                const Outputs<double> exact = outputs_of(with_settings(car, settings_with(car, r, false)), id, held);
                const Outputs<double> nearest = outputs_of(with_settings(car, settings_with(car, r, true)), id, held);
                CHECK_NEAR(exact[index(output)] - now[index(output)], by, tolerances::recipe);
                for (const Output kept : r.kept) CHECK_NEAR(exact[index(kept)], now[index(kept)], tolerances::recipe);
                CHECK(r.kept.size() == (is_front(id) ? 3 : 2));
                for (std::size_t o = 0; o < output_count; ++o) {
                    CHECK_NEAR(all.now[o], now[o], 1e-9);
                    CHECK_NEAR(r.change[o], exact[o] - now[o], 1e-9);
                    CHECK_NEAR(r.nearest_change[o], nearest[o] - now[o], 1e-9);
                }
                double minutes = 0.0;
                for (const RecipePart& part : r.parts) {
                    minutes += part.minutes;
                    const auto place = find_adjuster(car, part.key).value();
                    const Adjuster& adjuster = car[id].adjusters[place.adjuster];
                    if (const Thread* thread = adjuster.thread()) {
                        const double step_mm = thread->step_turns * thread->lead_mm();
                        CHECK(std::fabs(part.nearest_mm - part.amount_mm) <= 0.5 * step_mm + 1e-12);
                        const double steps = part.nearest_mm / step_mm;
                        CHECK_NEAR(steps, std::round(steps), 1e-9);
                        CHECK_NEAR(*part.turns * thread->lead_mm(), part.amount_mm, 1e-12);
                    } else if (part.nearest_shims) {
                        CHECK(std::fabs(part.nearest_mm - part.amount_mm) <= 0.05 + 1e-12);  // the box makes tenths
                        CHECK_NEAR(part.nearest_shims->total_mm - adjuster.stack()->total_mm(), part.nearest_mm, 1e-12);
                    }
                    CHECK(part.nearest_words.empty() == (part.nearest_mm == 0.0));
                }
                CHECK_NEAR(r.minutes, minutes, 1e-12);
                CHECK_NEAR(r.reach, by, 0.0);
                ++done;
            }
    CHECK(done == 42);
}

TEST_CASE("without an amount there is a recipe for each of the four, by 1 deg or 1 mm") {
    const Recipes all = recipes(wren_morning().car, CornerId::front_right);
    REQUIRE(all.recipes.size() == 4);
    for (std::size_t i = 0; i < 4; ++i) {
        CHECK(all.recipes[i].output == four[i]);
        CHECK(all.recipes[i].by == 1.0);
        CHECK_NEAR(all.recipes[i].change[index(four[i])], 1.0, tolerances::recipe);
    }
}

namespace {

/// Every set of adjusters of the four purposes, solved by pseudo-inverses of differences: nothing of the library's
/// search. Minutes and movement of the best one inside the limits.
struct Best {
    double minutes = 1e9;
    double movement = 1e9;
    int sets = 0;
};

double step_mm(const Adjuster& adjuster) {
    return adjuster.thread() ? adjuster.thread()->step_turns * adjuster.thread()->lead_mm() : 0.1;  // thinnest shim
}

Best brute_force(const Car& car, CornerId id, const std::vector<Output>& outputs, Output moved, double by) {
    const Corner& corner = car[id];
    const double held = present_value(setup(corner), spring);
    std::vector<std::size_t> usable;
    for (std::size_t a = 0; a < corner.adjusters.size(); ++a)
        if (corner.adjusters[a].purpose <= Purpose::ride_height) usable.push_back(a);
    const auto rows = static_cast<Eigen::Index>(outputs.size());
    Best best;
    for (std::size_t set = 1; set < std::size_t{1} << usable.size(); ++set) {
        std::vector<std::size_t> chosen;
        double minutes = 0.0;
        for (std::size_t u = 0; u < usable.size(); ++u)
            if ((set >> u & 1) != 0) {
                chosen.push_back(usable[u]);
                minutes += corner.adjusters[usable[u]].minutes;
            }
        const auto columns = static_cast<Eigen::Index>(chosen.size());
        const auto reads = [&](const Eigen::VectorXd& steps) {
            Setup s = setup(corner);
            for (std::size_t a = 0; a < chosen.size(); ++a)
                s.amounts_mm[chosen[a]] += steps(static_cast<Eigen::Index>(a)) * step_mm(corner.adjusters[chosen[a]]);
            const Outputs<double> out = outputs_at(s, spring, held);
            Eigen::VectorXd some(rows);
            for (Eigen::Index o = 0; o < rows; ++o) some(o) = out[index(outputs[static_cast<std::size_t>(o)])];
            return some;
        };
        Eigen::VectorXd steps = Eigen::VectorXd::Zero(columns);
        Eigen::VectorXd wanted = reads(steps);
        for (Eigen::Index o = 0; o < rows; ++o)
            if (outputs[static_cast<std::size_t>(o)] == moved) wanted(o) += by;
        bool met = false;
        try {
            for (int i = 0; i < 40 && !met; ++i) {
                Eigen::MatrixXd A(rows, columns);
                for (Eigen::Index a = 0; a < columns; ++a) {
                    Eigen::VectorXd up = steps, down = steps;
                    up(a) += 0.01;
                    down(a) -= 0.01;
                    A.col(a) = (reads(up) - reads(down)) / 0.02;
                }
                Eigen::JacobiSVD<Eigen::MatrixXd> svd(A, Eigen::ComputeThinU | Eigen::ComputeThinV);
                svd.setThreshold(1e-7);
                const Eigen::VectorXd next = svd.solve(wanted - reads(steps) + A * steps);
                met =
                    (next - steps).cwiseAbs().maxCoeff() < 1e-6 && (reads(next) - wanted).cwiseAbs().maxCoeff() < 1e-8;
                steps = next;
            }
        } catch (const OutOfReach&) {
            met = false;
        }
        if (!met) continue;
        bool inside = true;
        for (std::size_t a = 0; a < chosen.size(); ++a) {
            const Adjuster& adjuster = corner.adjusters[chosen[a]];
            const double amount_mm = steps(static_cast<Eigen::Index>(a)) * step_mm(adjuster);
            const double setting =
                present_setting(adjuster) + (adjuster.thread() ? amount_mm / adjuster.thread()->lead_mm() : amount_mm);
            inside = inside && !broken_limit(car, id, adjuster, setting);
        }
        if (!inside) continue;
        ++best.sets;
        const double movement = steps.squaredNorm();
        if (minutes < best.minutes - 1e-9 || (minutes < best.minutes + 1e-9 && movement < best.movement))
            best.minutes = minutes, best.movement = movement;
    }
    return best;
}

double movement(const Car& car, CornerId id, const Recipe& recipe) {
    double sum = 0.0;
    for (const RecipePart& part : recipe.parts) {
        const double steps = part.amount_mm / step_mm(car[id].adjusters[part.adjuster]);
        sum += steps * steps;
    }
    return sum;
}

}  // namespace

TEST_CASE("the least work is that of every set tried by another solver") {
    Car car = wren_morning().car;
    const auto minutes = [&](CornerId id, const std::string& name, double value) {
        car[id].adjusters[*car[id].find(name)].minutes = value;
    };
    int choices = 0;
    for (int turn = 0; turn < 4; ++turn) {
        if (turn == 1) minutes(CornerId::front_left, "upper rear leg", 9.0);
        if (turn == 2) minutes(CornerId::front_left, "upper front leg", 2.0);
        if (turn == 3) {  // nothing costs anything: the least movement of them all
            for (Adjuster& adjuster : car[CornerId::front_left].adjusters) adjuster.minutes = 0.0;
            for (Adjuster& adjuster : car[CornerId::rear_left].adjusters) adjuster.minutes = 0.0;
        }
        for (const CornerId id : {CornerId::front_left, CornerId::rear_left})
            for (const Output output : four)
                for (const double by : {0.1, -0.3}) {
                    const Recipe r = recipe(car, id, output, by);
                    if (!r.refusal.empty()) continue;
                    INFO(turn << ", " << corner_names[index(id)] << ", " << name_of(output) << " " << by);
                    std::vector<Output> outputs = r.kept;
                    outputs.push_back(output);
                    const Best best = brute_force(car, id, outputs, output, by);
                    CHECK(r.inside());
                    CHECK_NEAR(r.minutes, best.minutes, 1e-9);
                    CHECK_NEAR(movement(car, id, r), best.movement, 1e-3 * best.movement + 1e-3);
                    choices += best.sets > 1 ? 1 : 0;
                }
    }
    CHECK(choices >= 32);
}

TEST_CASE(
    "the cheaper of two legs is turned; of two at one price the one that moves less; both where one is not enough") {
    Car car = wren_morning().car;
    const CornerId id = CornerId::front_left;
    const auto leg = [&](const std::string& name) -> Adjuster& { return car[id].adjusters[*car[id].find(name)]; };
    const auto uses = [&](const Recipe& r, const std::string& name) {
        const auto all = names(r);
        return std::find(all.begin(), all.end(), name) != all.end();
    };
    for (const bool front : {true, false}) {
        leg("upper front leg").minutes = front ? 5.0 : 15.0;
        leg("upper rear leg").minutes = front ? 15.0 : 5.0;
        const Recipe r = recipe(car, id, Output::caster, 0.2);
        CHECK(uses(r, "upper front leg") == front);
        CHECK(uses(r, "upper rear leg") == !front);
    }
    leg("upper front leg").minutes = leg("upper rear leg").minutes = 13.0;  // both cost more than one and the shim
    const Recipe even = recipe(car, id, Output::caster, 0.2);
    CHECK(uses(even, "upper front leg") != uses(even, "upper rear leg"));
    const std::string other = uses(even, "upper front leg") ? "upper front leg" : "upper rear leg";
    leg(other).minutes = 100.0;
    const Recipe forced = recipe(car, id, Output::caster, 0.2);
    CHECK_FALSE(uses(forced, other));
    CHECK(movement(car, id, even) < movement(car, id, forced));
    leg(other).minutes = 13.0;

    // Either leg may go only four fifths as far as it would have to alone.
    for (const Recipe& alone : {even, forced})
        for (const RecipePart& part : alone.parts)
            if (part.key.ends_with("leg")) {
                const double most = 0.8 * std::fabs(*part.turns);
                std::get<Thread>(car[id].adjusters[part.adjuster].setting).limits_turns = {{-most, most}};
            }
    const Recipe shared = recipe(car, id, Output::caster, 0.2);
    CHECK(shared.inside());
    CHECK(uses(shared, "upper front leg"));
    CHECK(uses(shared, "upper rear leg"));
    CHECK_NEAR(shared.change[index(Output::caster)], 0.2, tolerances::recipe);
    for (const Output kept : shared.kept) CHECK_NEAR(shared.change[index(kept)], 0.0, tolerances::recipe);
}

TEST_CASE("a second pack gives a choice") {
    Car car = wren_morning().car;
    Adjuster second = car[CornerId::rear_left].adjusters[*car[CornerId::rear_left].find("camber shim")];
    second.name = "second shim";
    second.changes = {{Point::lower_wishbone_outer, {0.0, 1.0, 0.0}}};
    second.minutes = 7.0;
    car[CornerId::rear_left].adjusters.push_back(second);
    const auto cheap = names(recipe(car, CornerId::rear_left, Output::camber, 0.2));
    CHECK(std::find(cheap.begin(), cheap.end(), "second shim") != cheap.end());
    CHECK(std::find(cheap.begin(), cheap.end(), "camber shim") == cheap.end());
    car[CornerId::rear_left].adjusters.back().minutes = 20.0;
    const auto dear = names(recipe(car, CornerId::rear_left, Output::camber, 0.2));
    CHECK(std::find(dear.begin(), dear.end(), "second shim") == dear.end());
    CHECK(std::find(dear.begin(), dear.end(), "camber shim") != dear.end());
}

TEST_CASE("recipes of left and right are the same") {
    const Car car = wren_morning().car;
    for (const Output output : four)
        for (const auto& [left, right] : {std::pair(CornerId::front_left, CornerId::front_right),
                                          std::pair(CornerId::rear_left, CornerId::rear_right)}) {
            const Recipe l = recipe(car, left, output, 0.3);
            const Recipe r = recipe(car, right, output, 0.3);
            CHECK(l.refusal == r.refusal);
            REQUIRE(names(l) == names(r));
            for (std::size_t i = 0; i < l.parts.size(); ++i) {
                CHECK_NEAR(l.parts[i].amount_mm, r.parts[i].amount_mm, 1e-8);
                CHECK(l.parts[i].nearest_words == r.parts[i].nearest_words);
            }
        }
}

TEST_CASE("a recipe over a limit names it, is a rate with nothing to set, and says how far it goes") {
    const Car car = wren_morning().car;
    for (const double by : {2.0, -2.0}) {
        const Recipe r = recipe(car, CornerId::front_left, Output::camber, by);
        INFO("camber " << by);
        REQUIRE_FALSE(r.inside());
        CHECK(r.refusal.empty());
        CHECK(said(r.limits, "camber shim: "));
        CHECK_NEAR(r.change[index(Output::camber)], by, tolerances::recipe);
        for (const RecipePart& part : r.parts) {
            CHECK(part.nearest_words.empty());
            CHECK_FALSE(part.nearest_shims);
            CHECK_FALSE(part.words.empty());
        }
        CHECK(r.reach * by > 0.0);
        CHECK(std::fabs(r.reach) < std::fabs(by));
        CHECK(recipe(car, CornerId::front_left, Output::camber, 0.999 * r.reach).inside());
        CHECK_FALSE(recipe(car, CornerId::front_left, Output::camber, 1.001 * r.reach).inside());
    }
    // The shims at hand end before the car file's limit does.
    Car poor = car;
    poor.boxes_mm["rear"] = {0.5};
    const Recipe stock = recipe(poor, CornerId::rear_left, Output::camber, 0.5);
    CHECK(said(stock.limits, "camber shim: would have to be", "the shims at hand make 0.00 to 3.50 mm"));
    Car loose = car;
    std::get<Thread>(loose[CornerId::rear_left].adjusters[*loose[CornerId::rear_left].find("toe link")].setting)
        .now_turns = 7.0;
    CHECK_NEAR(recipe(loose, CornerId::rear_left, Output::toe, 0.1).reach, 0.0, 0.0);  // it stands beyond its limit
    const Recipe far = recipe(car, CornerId::front_left, Output::chassis_height, 3000.0);
    CHECK(far.refusal.find("does not assemble that far") != std::string::npos);
    CHECK(far.parts.empty());
    CHECK(far.reach > 1.0);
    CHECK(far.reach < 100.0);
}

TEST_CASE("settings that round beyond a limit together are set back to steps that keep it") {
    Car car = wren_morning().car;
    std::vector<Adjuster>& adjusters = car[CornerId::rear_left].adjusters;
    Adjuster& pushrod = adjusters[*car[CornerId::rear_left].find("pushrod")];
    pushrod.minutes = 0.0;  // both are turned, each by half
    Adjuster other = pushrod;
    other.name = "pushrod, inner end";
    adjusters.push_back(other);
    const Recipe free = recipe(car, CornerId::rear_left, Output::chassis_height, 1.0);
    double exact_mm = 0.0, nearest_mm = 0.0;
    for (const RecipePart& part : free.parts)
        if (part.key.find("pushrod") != std::string::npos) {
            exact_mm += part.amount_mm;
            nearest_mm += part.nearest_mm;
        }
    REQUIRE(free.inside());
    REQUIRE(nearest_mm > exact_mm + 0.05);
    const double drawn_mm = drawn_length_mm(car, CornerId::rear_left, Length::pushrod).value();
    for (Adjuster& adjuster : adjusters)
        if (adjuster.length() == Length::pushrod) {
            std::get<Thread>(adjuster.setting).limits_turns.reset();
            std::get<Thread>(adjuster.setting).length_limits_mm = {{drawn_mm - 5.0, drawn_mm + exact_mm + 0.01}};
        }
    const Recipe bound = recipe(car, CornerId::rear_left, Output::chassis_height, 1.0);
    CHECK(bound.inside());
    CHECK_NEAR(bound.reach, 1.0, 0.0);
    CHECK_NEAR(bound.change[index(Output::chassis_height)], 1.0, tolerances::recipe);
    double kept_mm = 0.0, step_back_mm = 0.0;
    for (const RecipePart& part : bound.parts)
        if (part.key.find("pushrod") != std::string::npos) {
            kept_mm += part.nearest_mm;
            step_back_mm = step_mm(adjusters[part.adjuster]);
            CHECK_FALSE(part.nearest_words.empty());
        }
    CHECK_NEAR(kept_mm, nearest_mm - step_back_mm, 1e-9);  // one of the two, by one step
    const double held = present_value(setup(car[CornerId::rear_left]), spring);
    const Car set = with_settings(car, settings_with(car, bound, true));  // refuses a broken limit
    for (std::size_t o = 0; o < output_count; ++o)
        CHECK_NEAR(bound.nearest_change[o],
                   outputs_of(set, CornerId::rear_left, held)[o] - outputs_of(car, CornerId::rear_left, held)[o], 1e-9);
}

TEST_CASE("a recipe that no step near it keeps inside the limits says so, and that its exact amounts do") {
    Car car = wren_morning().car;
    Corner& corner = car[CornerId::rear_left];
    Thread& thread = std::get<Thread>(corner.adjusters[*corner.find("toe link")].setting);
    double turns = 0.0;
    for (const RecipePart& part : recipe(car, CornerId::rear_left, Output::toe, 0.25).parts)
        if (part.key == "rear_left.toe link") turns = *part.turns;
    const double off_turns = std::fabs(std::remainder(turns, thread.step_turns));
    REQUIRE(off_turns > 1e-4);
    thread.limits_turns = {{turns - 0.5 * off_turns, turns + 0.5 * off_turns}};  // the car stands beyond it
    const Recipe r = recipe(car, CornerId::rear_left, Output::toe, 0.25);
    CHECK(said(r.limits, "no step or pack near the exact amounts keeps", "toe link: limits_turns excludes"));
    CHECK_NEAR(r.reach, 0.25, 0.0);
    CHECK(r.nearest_minutes == 0.0);
    for (const RecipePart& part : r.parts) {
        CHECK(part.nearest_words.empty());
        CHECK(part.nearest_mm == 0.0);
    }
}

TEST_CASE("one shim is not spent twice: packs of one box are the nearest that can be made together") {
    Car car = wren_morning().car;
    const CornerId id = CornerId::front_left;
    Corner& corner = car[id];
    corner.adjusters[*corner.find("camber shim")].minutes = 0.0;  // both are changed, each by half
    Adjuster second = corner.adjusters[*corner.find("camber shim")];
    second.name = "second shim";
    corner.adjusters.push_back(second);
    for (const Shims& box : {Shims{0.5}, Shims{0.5, 0.2}, Shims{0.5, 0.5}}) {
        car.boxes_mm["front"] = box;
        for (const double by : {0.1, 0.2, -0.1}) {
            INFO("box of " << box.size() << ", camber " << by);
            const Recipe r = recipe(car, id, Output::camber, by);
            REQUIRE(r.inside());
            std::vector<double> wanted_mm, nearest_mm;
            std::map<double, long> left;
            for (const double mm : box) ++left[mm];
            for (const RecipePart& part : r.parts)
                if (part.key.ends_with("shim")) {
                    wanted_mm.push_back(part.amount_mm);
                    nearest_mm.push_back(part.nearest_mm);
                    if (!part.nearest_shims) continue;
                    for (const double mm : part.nearest_shims->add_mm) --left[mm];
                    for (const double mm : part.nearest_shims->remove_mm) ++left[mm];
                }
            REQUIRE(wanted_mm.size() == 2);
            for (const auto& [mm, count] : left) CHECK(count >= 0);
            // Every pair of packs, asked one by one.
            const Shims fitted = second.stack()->fitted_mm;
            double least = 1e9;
            const auto packs = stack_choices(fitted, box, second.stack()->limits_mm);
            for (const StackChoice& a : packs)
                for (const StackChoice& b : packs)
                    if (stack_together({fitted, fitted}, box, {a.total_mm, b.total_mm}))
                        least = std::min(least, std::pow(a.total_mm - 3.0 - wanted_mm[0], 2) +
                                                    std::pow(b.total_mm - 3.0 - wanted_mm[1], 2));
            CHECK_NEAR(std::pow(nearest_mm[0] - wanted_mm[0], 2) + std::pow(nearest_mm[1] - wanted_mm[1], 2), least,
                       1e-12);
        }
    }
}

TEST_CASE("half a step beyond what the shims make counts as inside, the thinnest shim at hand being the step") {
    Car car = wren_morning().car;
    Corner& corner = car[CornerId::rear_left];
    Stack& stack = std::get<Stack>(corner.adjusters[*corner.find("camber shim")].setting);
    stack.limits_mm.reset();
    const auto thickest_mm = [&] {
        const double reach = recipe(car, CornerId::rear_left, Output::camber, 2.0).reach;
        for (const RecipePart& part : recipe(car, CornerId::rear_left, Output::camber, reach).parts)
            if (part.key.ends_with("shim")) return stack.total_mm() + part.amount_mm;
        return std::nan("");
    };
    stack.fitted_mm = {2.0};
    car.boxes_mm["rear"] = {2.0};
    CHECK_NEAR(thickest_mm(), 4.0 + 1.0, 1e-3);
    car.boxes_mm["rear"] = {2.0, 0.2};
    CHECK_NEAR(thickest_mm(), 4.2 + 0.1, 1e-3);
    stack.fitted_mm = {};  // no shim at all: 1 mm
    car.boxes_mm["rear"] = {};
    CHECK_NEAR(thickest_mm(), 0.5, 1e-3);
}

TEST_CASE("a corner without an adjuster for caster has no recipe for it, and does not keep it") {
    const Car car = wren_morning().car;
    const Recipes all = recipes(car, CornerId::rear_left);
    const Recipe& caster = all.recipes[2];
    CHECK(caster.refusal.find("no adjuster for caster") != std::string::npos);
    CHECK(caster.parts.empty());
    for (const Recipe& r : all.recipes) {
        if (r.output == Output::caster) continue;
        CHECK_FALSE(keeps(r, Output::caster));
        CHECK(r.kept.size() == 2);
    }
    CHECK(std::fabs(all.recipes[3].change[index(Output::caster)]) > 1e-4);
    // Two outputs and one adjuster that moves both: neither goes alone.
    Car one = car;
    std::vector<Adjuster>& adjusters = one[CornerId::rear_left].adjusters;
    std::erase_if(adjusters,
                  [](const Adjuster& a) { return a.purpose != Purpose::camber && a.purpose != Purpose::toe; });
    adjusters[0].changes = adjusters[1].changes;
    const Recipe together = recipe(one, CornerId::rear_left, Output::toe, 0.1);
    CHECK(together.refusal.find("toe, camber go together") != std::string::npos);
}

TEST_CASE("recipes hold on every kind of corner, its adjusters turned before") {
    const Car wren = wren_morning().car;
    for (const corners::Kind& kind : corners::kinds())
        for (int seed = 0; seed < test_size("recipes, corners of each kind", 2, 20); ++seed) {
            Car car = wren;
            Corner corner = corners::corner(kind, seed);
            const std::map<std::string, Purpose> purposes = {
                {"track rod", Purpose::toe},
                {"camber shim", Purpose::camber},
                {"upper front leg", Purpose::caster},
                {"upper rear leg", Purpose::caster},
                {kind.rocker ? "pushrod" : "spring shim", Purpose::ride_height}};
            std::erase_if(corner.adjusters, [&](const Adjuster& a) { return !purposes.contains(a.name); });
            corners::Random random("recipes", seed);
            for (Adjuster& adjuster : corner.adjusters) {
                adjuster.purpose = purposes.at(adjuster.name);
                adjuster.minutes = 1.0;
                Thread thread;
                thread.pitch_mm = 1.25;
                thread.step_turns = 1.0 / 24.0;
                thread.now_turns = random.within(1.0);
                adjuster.setting = thread;
            }
            car[corner.id] = corner;
            for (const Output output : four) {
                INFO(kind.name() << ", seed " << seed << ", " << name_of(output));
                const Recipes all = recipes(car, corner.id, {{name_of(output), 0.3}});
                const Recipe& r = all.recipes[0];
                REQUIRE(r.inside());
                const Outputs<double> now = outputs_of(car, corner.id, all.spring_length_mm);
                const Outputs<double> then =
                    outputs_of(with_settings(car, settings_with(car, r, false)), corner.id, all.spring_length_mm);
                for (const Output one : four)
                    CHECK_NEAR(then[index(one)] - now[index(one)], one == output ? 0.3 : 0.0, tolerances::recipe);
            }
        }
}

TEST_CASE("an output without a recipe, and an amount of nothing, are refused together") {
    const Car car = wren_morning().car;
    try {
        recipes(car, CornerId::front_left, {{"cambre", 1.0}, {"toe", 0.0}, {"caster", std::nan("")}});
        FAIL("must be refused");
    } catch (const InputError& error) {
        CHECK(std::string(error.what()) ==
              "cambre: has no recipe; did you mean \"camber\"?\n"
              "caster: must be a finite number\n"
              "toe: must not be 0");
    }
}

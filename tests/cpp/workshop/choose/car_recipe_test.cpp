#include "shimwise/workshop/choose/car_recipe.hpp"
#include "workshop/choose/recipe_settings.hpp"

#include <Eigen/SVD>
#include <algorithm>
#include <cmath>
#include <map>

#include "catch.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/tolerances.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

using Names = std::vector<std::string>;

Car wren() { return wren_morning().car; }

CarRecipe recipe(const Car& car, std::vector<CarAim> aims, std::optional<Names> keep = {}, Names turn = {},
                 const PadHeights& pads_mm = {}) {
    return car_recipe(rest_model(car), {std::move(aims), std::move(keep), std::move(turn)}, pads_mm);
}

Names aims_of(const CarRecipe& r) {
    Names names;
    for (const CarRecipeValue& v : r.values)
        if (v.aim) names.push_back(key(v.id));
    return names;
}
Names kept_of(const CarRecipe& r) {
    Names names;
    for (const CarRecipeValue& v : r.values)
        if (!v.aim) names.push_back(key(v.id));
    return names;
}
Names keys(const CarRecipe& r) {
    Names names;
    for (const RecipePart& part : r.parts) names.push_back(part.key);
    return names;
}
Names at_every_corner(const std::string& name) {
    Names all;
    for (const std::string_view corner : corner_names) all.push_back(std::string(corner) + "." + name);
    return all;
}

/// Values of the car re-read and put to rest once more, by name.
std::map<std::string, double> at_rest(const Car& car, const PadHeights& pads_mm = {}) {
    const RestModel model = rest_model(car);
    const RestState state = rest(model, pads_mm);
    std::map<std::string, double> values;
    for (const ValueId& output : rest_outputs(model)) values[column_name(output)] = value(state.values, output);
    const auto height = [&](const std::string& point) { return values.at("ride_height." + point + "_mm"); };
    values["front"] = 0.5 * (height("front_left") + height("front_right"));
    values["rear"] = 0.5 * (height("rear_left") + height("rear_right"));
    return values;
}

/// What every recipe inside the limits has to keep: its words are true of the car, exactly and as set.
void check_set_on(const Car& car, const CarRecipe& r, const PadHeights& pads_mm = {}) {
    REQUIRE(r.refusal.empty());
    REQUIRE(r.inside());
    REQUIRE(!r.parts.empty());
    const auto now = at_rest(car, pads_mm);
    const auto exact = at_rest(with_settings(car, settings_with(car, r, false)), pads_mm);
    const auto nearest = at_rest(with_settings(car, settings_with(car, r, true)), pads_mm);
    REQUIRE(r.outputs.size() == r.change.size());
    for (std::size_t o = 0; o < r.outputs.size(); ++o) {
        const std::string& name = column_name(r.outputs[o]);
        INFO(name);
        CHECK_NEAR(r.now[o], now.at(name), 1e-9);
        CHECK_NEAR(r.change[o], exact.at(name) - now.at(name), 1e-9);
        CHECK_NEAR(r.nearest_change[o], nearest.at(name) - now.at(name), 1e-9);
    }
    for (const CarRecipeValue& v : r.values) {
        INFO(key(v.id));
        CHECK_NEAR(v.change, v.by, tolerances::recipe);
        CHECK(r.nearest_within <= (std::fabs(v.nearest_change - v.by) <= v.tolerance));
    }
    double minutes = 0.0, nearest_minutes = 0.0;
    for (const RecipePart& part : r.parts) {
        minutes += part.minutes;
        const auto place = find_adjuster(car, part.key).value();
        const Adjuster& adjuster = car[place.corner].adjusters[place.adjuster];
        if (const Thread* thread = adjuster.thread()) {
            const double steps = part.nearest_mm / (thread->step_turns * thread->lead_mm());
            CHECK_NEAR(steps, std::round(steps), 1e-9);
            CHECK_NEAR(*part.turns * thread->lead_mm(), part.amount_mm, 1e-12);
        }
        CHECK(part.nearest_words.empty() == (part.nearest_mm == 0.0));
        if (part.nearest_mm != 0.0) nearest_minutes += part.minutes;
    }
    CHECK_NEAR(r.minutes, minutes, 1e-12);
    CHECK_NEAR(r.nearest_minutes, nearest_minutes, 1e-12);
    CHECK_NEAR(r.reach, 1.0, 0.0);
}

/// The car seen in a mirror: left and right changed over.
Car mirrored(const Car& car) {
    Car other = car;
    other.mass.cg_mm->y = -car.mass.cg_mm->y;
    for (const auto& [to, from] : {std::pair(0, 1), {1, 0}, {2, 3}, {3, 2}})
        for (std::size_t a = 0;
             a < car.corners[0].adjusters.size() && a < car.corners[std::size_t(to)].adjusters.size(); ++a)
            other.corners[std::size_t(to)].adjusters[a].setting = car.corners[std::size_t(from)].adjusters[a].setting;
    return other;
}

}  // namespace

TEST_CASE("raise front ride height 2 mm, nothing else changes") {
    const Car car = wren();
    const CarRecipe r = recipe(car, {{"front_height", 2.0}});
    CHECK(aims_of(r) == Names{"front_height"});
    CHECK(kept_of(r) == Names{"rear_height", "roll", "cross_weight"});
    CHECK(keys(r) == at_every_corner("pushrod"));
    CHECK_NEAR(r.minutes, 16.0, 1e-12);
    check_set_on(car, r);
    const auto now = at_rest(car), then = at_rest(with_settings(car, settings_with(car, r, false)));
    CHECK_NEAR(then.at("front") - now.at("front"), 2.0, 1e-9);
    for (const char* kept : {"rear", "roll_deg", "cross_weight_percent"}) CHECK_NEAR(then.at(kept), now.at(kept), 1e-9);
    // The left and right heights go with their mean and with roll.
    for (const char* point : {"left", "right"}) {
        const std::string front = std::string("ride_height.front_") + point + "_mm";
        const std::string rear = std::string("ride_height.rear_") + point + "_mm";
        CHECK_NEAR(then.at(front) - now.at(front), 2.0, 1e-6);
        CHECK_NEAR(then.at(rear) - now.at(rear), 0.0, 1e-6);
    }
    CHECK(r.nearest_within);
    for (const RecipePart& part : r.parts) CHECK(part.words.find("turn") != std::string::npos);
    CHECK(r.parts[0].words.find("longer") != std::string::npos);
}

TEST_CASE("add 0.5 % cross weight, heights kept") {
    const Car car = wren();
    const CarRecipe r = recipe(car, {{"cross_weight", 0.5}});
    CHECK(kept_of(r) == Names{"front_height", "rear_height", "roll"});
    check_set_on(car, r);
    const auto now = at_rest(car), then = at_rest(with_settings(car, settings_with(car, r, false)));
    CHECK_NEAR(then.at("cross_weight_percent") - now.at("cross_weight_percent"), 0.5, 1e-9);
    for (const char* kept : {"front", "rear", "roll_deg", "rake_mm", "height_mm", "ride_height.front_left_mm"})
        CHECK_NEAR(then.at(kept), now.at(kept), 1e-9);
    // Statics: the gain of the diagonal comes half from each end, left less right falls at the front, grows at the
    // rear.
    const double gain_kg = 0.005 * 498.0;
    CHECK_NEAR(then.at("front_difference_kg") - now.at("front_difference_kg"), -gain_kg, 0.05 * gain_kg);
    CHECK_NEAR(then.at("rear_difference_kg") - now.at("rear_difference_kg"), gain_kg, 0.05 * gain_kg);
}

TEST_CASE("1 mm more rake at the same mean height") {
    const Car car = wren();
    const CarRecipe r = recipe(car, {{"rake_mm", 1.0}});
    CHECK(aims_of(r) == Names{"rake"});
    CHECK(kept_of(r) == Names{"mean_height", "roll", "cross_weight"});
    check_set_on(car, r);
    const auto now = at_rest(car), then = at_rest(with_settings(car, settings_with(car, r, false)));
    CHECK_NEAR(then.at("rear") - now.at("rear"), 0.5, 1e-9);
    CHECK_NEAR(then.at("front") - now.at("front"), -0.5, 1e-9);
    CHECK_NEAR(then.at("roll_deg"), now.at("roll_deg"), 1e-9);
    CHECK_NEAR(then.at("cross_weight_percent"), now.at("cross_weight_percent"), 1e-9);
}

TEST_CASE("what is kept by itself leaves no freedom and names none twice") {
    const Car car = wren();
    const auto kept = [&](std::vector<CarAim> aims) { return kept_of(recipe(car, std::move(aims))); };
    CHECK(kept({{"mean_height", 1.0}}) == Names{"rake", "roll", "cross_weight"});
    CHECK(kept({{"height", 1.0}}) == Names{"rake", "roll", "cross_weight"});
    CHECK(kept({{"mean_height", 1.0}, {"rake", 0.5}}) == Names{"roll", "cross_weight"});
    CHECK(kept({{"front_height", 1.0}, {"rear_height", 1.0}}) == Names{"roll", "cross_weight"});
    CHECK(kept({{"roll", 0.05}}) == Names{"front_height", "rear_height", "cross_weight"});
    CHECK(kept({{"front_difference", 2.0}}) == Names{"front_height", "rear_height", "roll"});
    CHECK(kept({{"rear_left.weight_kg", 2.0}}) == Names{"front_height", "rear_height", "roll"});
    CHECK(kept({{"ride_height.front_left", 1.0}}) == Names{"ride_height.front_right", "rear_height", "cross_weight"});
    CHECK(kept({{"ride_height.rear_right_mm", 1.0}}) == Names{"ride_height.rear_left", "front_height", "cross_weight"});
    CHECK(kept({{"front_left.toe", 0.1}}) == Names{"front_height", "rear_height", "roll", "cross_weight"});
    CHECK(kept_of(recipe(car, {{"rake", 1.0}}, Names{})).empty());
    CHECK(kept_of(recipe(car, {{"rake", 1.0}}, Names{"front_height"})) == Names{"front_height"});
}

TEST_CASE("other aims, uneven pads and a car as it is set: done exactly, and set within the limits") {
    Morning m = wren_morning();
    m.thread(CornerId::front_left, "pushrod").now_turns = 0.75;
    m.thread(CornerId::rear_right, "spring platform").now_turns = -0.5;
    m.car.bars[0]->connected = true;
    const PadHeights pads_mm = {0.0, 1.2, -0.4, 0.3};
    for (const CarAim& aim : std::vector<CarAim>{{"front_height", -1.5},
                                                 {"rear_height", 1.0},
                                                 {"mean_height", -2.0},
                                                 {"rake_angle", 0.02},
                                                 {"roll", 0.05},
                                                 {"cross_weight", -0.8},
                                                 {"front_difference", 3.0},
                                                 {"rear_difference", -3.0},
                                                 {"front_right.weight", 1.5},
                                                 {"ride_height.rear_left", 1.5}}) {
        INFO(aim.what << " " << aim.by);
        check_set_on(m.car, recipe(m.car, {aim}, {}, {}, pads_mm), pads_mm);
    }
}

TEST_CASE("toe is kept where that is asked for, by what is there for toe") {
    const Car car = wren();
    const CarRecipe plain = recipe(car, {{"front_height", 2.0}});
    const CarRecipe kept = recipe(car, {{"front_height", 2.0}}, Names{"others", "toe"});
    check_set_on(car, kept);
    CHECK(kept_of(kept).size() == 7);
    const auto now = at_rest(car);
    const auto without = at_rest(with_settings(car, settings_with(car, plain, false)));
    const auto with = at_rest(with_settings(car, settings_with(car, kept, false)));
    CHECK(std::fabs(without.at("front_left.toe_deg") - now.at("front_left.toe_deg")) > 1e-3);
    for (const std::string_view corner : corner_names) {
        const std::string toe = std::string(corner) + ".toe_deg";
        CHECK_NEAR(with.at(toe), now.at(toe), 1e-9);
    }
    CHECK_NEAR(kept.minutes, 32.0, 1e-12);
    const CarRecipe camber = recipe(car, {{"rear_left.camber", -0.2}}, Names{"others", "rear_left.toe"});
    check_set_on(car, camber);
    CHECK(std::find(keys(camber).begin(), keys(camber).end(), "rear_left.camber shim") != keys(camber).end());
}

namespace {

struct Best {
    double minutes = 1e9;
    double movement = 1e9;
    int sets = 0;
};

/// Every set of pushrods and platforms, solved with differences of the car at rest and pseudo-inverses: nothing of the
/// library's search or its rates. Values are those of the recipe, as sums of named values at rest.
Best brute_force(const Car& car, const std::vector<std::vector<std::pair<std::string, double>>>& values,
                 const Eigen::VectorXd& change) {
    const RestModel model = rest_model(car);
    const std::vector<ValueId> outputs = rest_outputs(model);
    RestModel after_steps = model;
    struct Place {
        std::size_t corner, adjuster;
        double step_mm, minutes;
    };
    std::vector<Place> places;
    for (std::size_t c = 0; c < corner_count; ++c)
        for (std::size_t a = 0; a < car.corners[c].adjusters.size(); ++a) {
            const Adjuster& adjuster = car.corners[c].adjusters[a];
            if (adjuster.purpose == Purpose::ride_height || adjuster.purpose == Purpose::corner_weight)
                places.push_back(
                    {c, a, adjuster.thread()->step_turns * adjuster.thread()->lead_mm(), adjuster.minutes});
        }
    REQUIRE(places.size() == 8);
    const auto n = static_cast<Eigen::Index>(values.size());
    Best best;
    for (unsigned set = 1; set < 1u << places.size(); ++set) {
        std::vector<Place> chosen;
        double minutes = 0.0;
        for (std::size_t p = 0; p < places.size(); ++p)
            if ((set >> p & 1u) != 0) chosen.push_back(places[p]), minutes += places[p].minutes;
        if (chosen.size() > 5 || minutes > best.minutes + 1e-9) continue;
        const auto count = static_cast<Eigen::Index>(chosen.size());
        const auto at = [&](const Eigen::VectorXd& steps) {
            after_steps.setups = model.setups;
            for (std::size_t p = 0; p < chosen.size(); ++p)
                after_steps.setups[chosen[p].corner].amounts_mm[chosen[p].adjuster] +=
                    steps(static_cast<Eigen::Index>(p)) * chosen[p].step_mm;
            const RestState state = rest(after_steps);
            Eigen::VectorXd sums = Eigen::VectorXd::Zero(n);
            for (Eigen::Index v = 0; v < n; ++v)
                for (const auto& [name, share] : values[static_cast<std::size_t>(v)])
                    for (const ValueId& output : outputs)
                        if (column_name(output) == name) sums(v) += share * value(state.values, output);
            return sums;
        };
        Eigen::VectorXd steps = Eigen::VectorXd::Zero(count);
        const Eigen::VectorXd wanted = at(steps) + change;
        bool met = false;
        try {
            for (int i = 0; i < 8 && !met; ++i) {
                Eigen::MatrixXd A(n, count);
                for (Eigen::Index p = 0; p < count; ++p) {
                    Eigen::VectorXd off = steps;
                    off(p) += 0.05;
                    A.col(p) = at(off);
                    off(p) -= 0.1;
                    A.col(p) = (A.col(p) - at(off)) / 0.1;
                }
                Eigen::JacobiSVD<Eigen::MatrixXd> svd(A, Eigen::ComputeThinU | Eigen::ComputeThinV);
                svd.setThreshold(1e-7);
                steps = svd.solve(wanted - at(steps) + A * steps);
                const double off = (at(steps) - wanted).cwiseAbs().maxCoeff();
                met = i > 3 && off < 1e-7;
                if (i == 3 && !(off < 1e-3)) break;  // this set does not do it
            }
        } catch (const OutOfReach&) {
            continue;
        }
        if (!met) continue;
        bool inside = true;
        Car after = car;
        for (std::size_t p = 0; p < chosen.size(); ++p) {
            Thread& thread = std::get<Thread>(after.corners[chosen[p].corner].adjusters[chosen[p].adjuster].setting);
            thread.now_turns += steps(static_cast<Eigen::Index>(p)) * chosen[p].step_mm / thread.lead_mm();
        }
        for (const Place& p : chosen) {
            const Adjuster& adjuster = after.corners[p.corner].adjusters[p.adjuster];
            inside = inside && !broken_limit(after, after.corners[p.corner].id, adjuster, present_setting(adjuster));
        }
        if (!inside) continue;
        ++best.sets;
        const double movement = steps.squaredNorm();
        if (minutes < best.minutes - 1e-9 || movement < best.movement) best = {minutes, movement, best.sets};
    }
    return best;
}

const std::vector<std::vector<std::pair<std::string, double>>> four_values = {
    {{"ride_height.front_left_mm", 0.5}, {"ride_height.front_right_mm", 0.5}},
    {{"ride_height.rear_left_mm", 0.5}, {"ride_height.rear_right_mm", 0.5}},
    {{"roll_deg", 1.0}},
    {{"cross_weight_percent", 1.0}}};

double movement_of(const Car& car, const CarRecipe& r) {
    double movement = 0.0;
    for (const RecipePart& part : r.parts) {
        const auto place = find_adjuster(car, part.key).value();
        movement += std::pow(*part.turns / car[place.corner].adjusters[place.adjuster].thread()->step_turns, 2);
    }
    return movement;
}

}  // namespace

TEST_CASE("least work is the least of all sets, and of equal minutes the least movement") {
    Morning as_drawn = wren_morning();
    Morning dear = wren_morning();  // one pushrod behind a panel: its platform is less work
    dear.adjuster(CornerId::front_left, "pushrod").minutes = 20.0;
    Morning tight = wren_morning();  // neither does it at that corner alone: it takes both
    tight.thread(CornerId::front_left, "pushrod").limits_turns = std::pair(-0.3, 0.3);
    tight.thread(CornerId::front_left, "spring platform").limits_turns = std::pair(-0.6, 0.6);
    Morning equal = wren_morning();  // all take as long
    for (const std::string_view corner : corner_names)
        equal.adjuster(*named<CornerId>(corner_names, corner), "spring platform").minutes = 4.0;
    struct Case {
        const Morning* morning;
        double minutes;
        std::size_t parts;
    };
    for (const Case& one :
         {Case{&as_drawn, 16.0, 4}, Case{&dear, 17.0, 4}, Case{&tight, 21.0, 5}, Case{&equal, 16.0, 4}}) {
        const Car& car = one.morning->car;
        const CarRecipe r = recipe(car, {{"front_height", 2.0}});
        INFO(one.minutes << " minutes, " << one.parts << " parts");
        check_set_on(car, r);
        CHECK_NEAR(r.minutes, one.minutes, 1e-9);
        CHECK(r.parts.size() == one.parts);
        const Best best = brute_force(car, four_values, Eigen::Vector4d(2.0, 0.0, 0.0, 0.0));
        CHECK(best.sets > 0);
        CHECK_NEAR(best.minutes, r.minutes, 1e-9);
        CHECK_NEAR(movement_of(car, r), best.movement, 1e-5 * best.movement);
    }
}

TEST_CASE("the mirror image of the car gets the mirror image of the turns") {
    Morning m = wren_morning();
    m.thread(CornerId::front_left, "pushrod").now_turns = 0.5;
    m.thread(CornerId::rear_right, "spring platform").now_turns = 0.75;
    const Car other = mirrored(m.car);
    for (const auto& [aim, mirror_sign] : {std::pair(CarAim{"front_height", 2.0}, 1.0),
                                           {CarAim{"rake", 1.0}, 1.0},
                                           {CarAim{"cross_weight", 0.5}, -1.0},
                                           {CarAim{"front_difference", 2.0}, -1.0}}) {
        INFO(aim.what);
        const CarRecipe r = recipe(m.car, {aim});
        const CarRecipe image = recipe(other, {{aim.what, mirror_sign * aim.by}});
        REQUIRE(r.inside());
        REQUIRE(r.parts.size() == 4);
        REQUIRE(image.parts.size() == 4);
        for (std::size_t p = 0; p < 4; ++p) {
            const std::size_t q = p ^ 1u;
            CHECK(image.parts[q].adjuster == r.parts[p].adjuster);
            CHECK_NEAR(image.parts[q].amount_mm, r.parts[p].amount_mm, 1e-8);
            CHECK_NEAR(image.parts[q].nearest_mm, r.parts[p].nearest_mm, 1e-9);
        }
    }
}

TEST_CASE("the nearest settings are the best whole steps around the exact ones") {
    const Car car = wren();
    const RestModel model = rest_model(car);
    const CarRecipe r = recipe(car, {{"cross_weight", 0.5}}, {}, {"spring platform"});
    check_set_on(car, r);
    REQUIRE(keys(r) == at_every_corner("spring platform"));
    const auto cost = [&](const std::array<double, 4>& amounts_mm) {
        RestModel after = model;
        for (std::size_t c = 0; c < 4; ++c) after.setups[c].amounts_mm[r.parts[c].adjuster] += amounts_mm[c];
        const auto values = rest(after).values;
        const auto now = rest(model).values;
        const auto height = [](const RestValues<double>& v, std::size_t i) { return v.ride_heights_mm[i]; };
        double sum = 0.0;
        const auto off = [&](double change, double by, double tolerance) {
            sum += std::pow((change - by) / tolerance, 2);
        };
        std::map<std::string, std::size_t> place;
        for (std::size_t i = 0; i < car.ride_heights.size(); ++i) place[car.ride_heights[i].name] = i;
        for (const std::string end : {"front", "rear"}) {
            const std::size_t left = place.at(end + "_left"), right = place.at(end + "_right");
            off(0.5 * (height(values, left) + height(values, right) - height(now, left) - height(now, right)), 0.0,
                0.5);
        }
        off(values.at(CarOutput::roll) - now.at(CarOutput::roll), 0.0, 0.05);
        off(values.at(CarOutput::cross_weight) - now.at(CarOutput::cross_weight), 0.5, 0.3);
        return sum;
    };
    std::array<double, 4> set{};
    for (std::size_t c = 0; c < 4; ++c) set[c] = r.parts[c].nearest_mm;
    const double best = cost(set);
    const double step_mm = 1.5 / 12.0;
    int tried = 0;
    for (int i = 0; i < 625; ++i) {  // two steps either way of each
        std::array<double, 4> other = set;
        for (std::size_t c = 0, rest_of = static_cast<std::size_t>(i); c < 4; ++c, rest_of /= 5)
            other[c] += (static_cast<double>(rest_of % 5) - 2.0) * step_mm;
        CHECK(cost(other) >= best - 1e-4);  // of the ridge
        ++tried;
    }
    CHECK(tried == 625);
    CHECK(best < cost({}));
}

TEST_CASE("limits and locks bound the nearest settings too") {
    Morning m = wren_morning();
    const double exact_turns = *recipe(m.car, {{"front_height", 2.0}}).parts[0].turns;
    REQUIRE(exact_turns > 0.0);
    Thread& thread = m.thread(CornerId::front_left, "pushrod");
    thread.limits_turns = std::pair(-5.0, exact_turns + 0.01 * thread.step_turns);  // the step above is out of bounds
    m.adjuster(CornerId::front_left, "spring platform").minutes = 100.0;
    const CarRecipe r = recipe(m.car, {{"front_height", 2.0}});
    check_set_on(m.car, r);
    CHECK(r.parts[0].nearest_mm <= exact_turns * thread.lead_mm());
    CHECK(r.parts[0].nearest_mm > 0.0);
}

TEST_CASE("over a limit it is a rate, names the limit and says how far it goes") {
    const Car car = wren();
    const CarRecipe r = recipe(car, {{"front_height", 18.0}}, {}, {"pushrod"});
    CHECK(r.refusal.empty());
    CHECK(!r.inside());
    CHECK(said(r.limits, "front left pushrod", "limits_turns", "-5 to 5"));
    REQUIRE(r.parts.size() == 4);
    CHECK(*r.parts[0].turns > 5.0);
    for (const RecipePart& part : r.parts) CHECK(part.nearest_words.empty());
    CHECK(r.nearest_change == r.change);
    CHECK(r.reach > 0.9);
    CHECK(r.reach < 1.0);
    CHECK(recipe(car, {{"front_height", 18.0 * r.reach * (1.0 - 1e-6)}}, {}, {"pushrod"}).inside());
    CHECK(!recipe(car, {{"front_height", 18.0 * r.reach + 1e-3}}, {}, {"pushrod"}).inside());
}

TEST_CASE("what the car cannot reach at rest is refused with what stops it, and how far it goes") {
    const CarRecipe r = recipe(wren(), {{"front_height", 400.0}});
    CHECK(r.parts.empty());
    CHECK(!r.inside());
    CHECK(r.refusal.find("the car finds no rest that far: ") == 0);
    CHECK(r.reach > 0.01);
    CHECK(recipe(wren(), {{"front_height", 400.0 * r.reach * (1.0 - 1e-6)}}).inside());
}

TEST_CASE("what cannot be done together is refused with its reason") {
    const Car car = wren();
    const auto refused = [&](std::vector<CarAim> aims, std::optional<Names> keep, Names turn, const Names& words) {
        const CarRecipe r = recipe(car, std::move(aims), std::move(keep), std::move(turn));
        INFO(r.refusal);
        CHECK(r.parts.empty());
        CHECK(!r.inside());
        CHECK_NEAR(r.reach, 0.0, 0.0);
        for (const std::string& word : words) CHECK(r.refusal.find(word) != std::string::npos);
    };
    refused({{"front_difference", 5.0}, {"rear_difference", 5.0}}, {}, {},
            {"front difference +5 kg", "rear difference +5 kg", "kept", "one unknown of the weights"});
    refused({{"front_difference", 5.0}}, Names{"others", "cross_weight"}, {},
            {"front difference +5 kg", "cross weight", "one unknown of the weights"});
    refused({{"ride_height.front_left", 2.0}},
            Names{"ride_height.front_right", "ride_height.rear_left", "ride_height.rear_right"}, {},
            {"ride height front left +2 mm", "the chassis is rigid"});
    refused({{"front_share", 0.5}}, {}, {}, {"front share +0.5 %", "ballast"});
    refused({{"front_left.toe", 0.1}}, {}, {"spring platform"}, {"front left toe +0.1 deg"});
    refused({{"front_height", 2.0}}, {}, {"front_left.pushrod", "front_right.pushrod"},
            {"front height +2 mm", "kept", "go together"});
    refused({{"front_left.toe", 0.1}}, Names{}, {"rear_left.drop link"},
            {"front left toe +0.1 deg", "nothing of it moves that alone"});
}

TEST_CASE("wrong words of an ask are named all at once") {
    const RestModel model = rest_model(wren());
    const auto said_of = [&](const CarRecipeAsk& ask) -> std::string {
        try {
            car_recipe(model, ask);
        } catch (const InputError& e) {
            return e.what();
        }
        return {};
    };
    CHECK(said_of({}).find("aims") != std::string::npos);
    const std::string all = said_of({{{"front_hight", 1.0}, {"rake", 0.0}, {"roll", std::nan("")}},
                                     Names{"rake", "cross_wieght"},
                                     {"pushrods", "spring platform"}});
    for (const char* word :
         {"front_hight", "did you mean \"front_height\"", "rake: must not be 0", "roll: must be a finite number",
          "did you mean \"cross_weight\"", "pushrods", "did you mean \"pushrod\"", "cannot both change and be kept"})
        CHECK(all.find(word) != std::string::npos);
    CHECK(said_of({{{"rake", 1.0}, {"rake_mm", 2.0}}, {}, {}}).find("named twice") != std::string::npos);
    Car plain = wren();
    plain.rake_front = plain.rake_rear = "";
    const RestModel no_rake = rest_model(plain);
    CHECK_THROWS_AS(car_recipe(no_rake, {{{"front_height", 1.0}}, {}, {}}), InputError);
    const CarRecipe height = car_recipe(no_rake, {{{"height", 1.0}}, {}, {}});
    CHECK(kept_of(height) == Names{"pitch", "roll", "cross_weight"});
    CHECK(height.inside());
}

TEST_CASE("beyond the bound on sets the recipe holds, and says that it need not be the least work") {
    Morning m = wren_morning();
    const Names everything = {"toe", "camber", "caster", "ride_height", "corner_weight", "bar_free"};
    const CarRecipe r = recipe(m.car, {{"front_height", 2.0}}, Names{"others", "toe", "camber"}, everything);
    check_set_on(m.car, r);
    CHECK(said(r.notes, "too many sets"));
    CHECK(recipe(m.car, {{"front_height", 2.0}}).notes.empty());
}

TEST_CASE("a damper on its droop stop is said") {
    Morning m = wren_morning();
    m.car[CornerId::front_left].damper->longest_mm =
        *present_length_mm(m.car, CornerId::front_left, Length::spring_platform) - 1.0;
    const RestModel model = rest_model(m.car);
    REQUIRE(rest(model).corners[0].on_droop_stop);
    const CarRecipe r = car_recipe(model, {{{"rear_height", 0.5}}, {}, {}});
    CHECK(said(r.notes, "front left: now the damper is on its droop stop"));
}

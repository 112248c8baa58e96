// That a recipe of the whole car is the least work and its settings the nearest: against other means.
#include "shimwise/workshop/choose/car_recipe.hpp"

#include <Eigen/SVD>
#include <cmath>
#include <map>

#include "catch.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "workshop/choose/car_recipe_words.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

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

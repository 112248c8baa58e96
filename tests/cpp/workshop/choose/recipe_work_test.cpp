// That a recipe is the least work: against every set tried by another solver.
#include "shimwise/workshop/choose/recipes.hpp"

#include <Eigen/SVD>
#include <algorithm>
#include <cmath>

#include "catch.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/tolerances.hpp"
#include "workshop/choose/recipe_words.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

/// Every set of adjusters of the four purposes, solved by pseudo-inverses of differences: nothing of the library's
/// search. Minutes and movement of the best one inside the limits.
struct Best {
    double minutes = 1e9;
    double movement = 1e9;
    int sets = 0;
};

Best brute_force(const Car& car, CornerId id, const std::vector<Output>& outputs, Output moved, double by) {
    const Corner& corner = car[id];
    const double held = present_value(setup(corner), spring_held);
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
            const Outputs<double> out = outputs_at(s, spring_held, held);
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

TEST_CASE("the cheaper of two legs is turned, at one price the one that moves less, and both where one is not enough") {
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

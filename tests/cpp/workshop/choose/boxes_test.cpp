#include "shimwise/workshop/choose/boxes.hpp"

#include <algorithm>

#include "catch.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

using Shims = std::vector<double>;

AdjusterPlace place(const Car& car, const std::string& key) { return find_adjuster(car, key).value(); }

const Stack& stack(const Car& car, const AdjusterPlace& at) { return *car[at.corner].adjusters[at.adjuster].stack(); }

/// The demo car with one shared box of one shim, 2.0 mm fitted front left, 1.0 and 0.5 mm front right.
Car sharing() {
    Morning m = wren_morning();
    m.car.boxes_mm = {{"camber", {0.2}}};
    for (Corner& corner : m.car.corners)
        for (Adjuster& adjuster : corner.adjusters)
            if (Stack* one = std::get_if<Stack>(&adjuster.setting)) {
                one->box = is_front(corner.id) ? "camber" : "";
                one->box_mm = is_front(corner.id) ? Shims{} : Shims{0.3};
                one->fitted_mm = {2.0};
                one->limits_mm.reset();
            }
    m.stack(CornerId::front_right, "camber shim").fitted_mm = {1.0, 0.5};
    return m.car;
}

/// Every shim of a car, in stacks and boxes.
Shims every_shim(const Car& car) {
    Shims all;
    const auto append = [&](const Shims& more) { all.insert(all.end(), more.begin(), more.end()); };
    for (const auto& [name, box] : car.boxes_mm) append(box);
    for (const Corner& corner : car.corners)
        for (const Adjuster& adjuster : corner.adjusters)
            if (const Stack* one = adjuster.stack()) {
                append(one->fitted_mm);
                append(one->box_mm);
            }
    std::sort(all.begin(), all.end());
    return all;
}

}  // namespace

TEST_CASE("a stack may take from its box, and from the stacks in play that share it") {
    const Car car = sharing();
    const AdjusterPlace left = place(car, "front_left.camber shim"), right = place(car, "front_right.camber shim");
    const AdjusterPlace rear = place(car, "rear_left.camber shim");
    CHECK(sharing_box(car, left, {left, right, rear}).size() == 1);
    CHECK(sharing_box(car, left, {left, rear}).empty());
    CHECK(sharing_box(car, rear, {left, right, rear, place(car, "rear_right.camber shim")}).empty());
    CHECK(at_hand_mm(car, left, {left}) == Shims{0.2});
    CHECK(at_hand_mm(car, left, {left, right, rear}) == Shims{0.2, 1.0, 0.5});
    CHECK(at_hand_mm(car, rear, {left, right, rear}) == Shims{0.3});
}

TEST_CASE("what is at hand counts every copy, whoever has it fitted") {
    const Car car = sharing();
    const AdjusterPlace left = place(car, "front_left.camber shim"), rear = place(car, "rear_left.camber shim");
    CHECK(all_at_hand(car, left, {2.0, 1.0, 0.5, 0.2}));
    CHECK(all_at_hand(car, left, {}));
    CHECK_FALSE(all_at_hand(car, left, {0.2, 0.2}));
    CHECK_FALSE(all_at_hand(car, left, {0.3}));
    CHECK(all_at_hand(car, rear, {2.0, 0.3}));
    CHECK_FALSE(all_at_hand(car, rear, {0.2}));
}

TEST_CASE("what packs miss together counts every copy once, and what other stacks have fitted stays there") {
    const Car car = sharing();
    const AdjusterPlace left = place(car, "front_left.camber shim"), right = place(car, "front_right.camber shim");
    const AdjusterPlace rear = place(car, "rear_left.camber shim");
    const auto missing = [&](const std::vector<AdjusterPlace>& stacks, const std::vector<Shims>& packs) {
        std::vector<std::vector<Shims>> one_of_each;
        for (const Shims& pack : packs) one_of_each.push_back({pack});
        return missing_shims_mm(car, stacks, one_of_each, std::vector(packs.size(), std::vector<std::size_t>{0}));
    };
    CHECK(missing({left}, {{2.0, 0.2}}) == Shims{0.0});
    CHECK(missing({left}, {{1.0, 0.2}}) == Shims{1.0});  // it is fitted front right
    CHECK(missing({left, right}, {{1.0, 0.2}, {2.0, 0.5}}) == Shims{0.0});
    CHECK(missing({left, right}, {{2.0, 0.2}, {2.0, 0.2, 0.5}}) == Shims{2.0 + 0.2});
    CHECK(missing({left, rear}, {{0.3}, {0.3}}) == Shims{0.3});  // a box of its own
    const std::vector<Shims> packs = {{2.0}, {1.0, 0.5}};
    CHECK(missing_shims_mm(car, {left, right}, {packs, packs}, {{0, 0, 1, 1}, {0, 1, 0, 1}}) ==
          Shims{2.0, 0.0, 0.0, 1.5});
    CHECK(missing_shims_mm(car, {left, rear}, {packs, {{0.3}, {0.3, 0.3}}}, {{0, 0, 1}, {0, 1, 1}}) ==
          Shims{0.0, 0.3, 1.5 + 0.3});
    CHECK_THROWS_AS(demand_stack(car, "front_left.track rod"), InputError);
    CHECK(demand_stack(car, "front_right.camber shim").corner == CornerId::front_right);
}

TEST_CASE("packs miss nothing that others make as thick") {
    Car car = sharing();
    const AdjusterPlace left = place(car, "front_left.camber shim"), right = place(car, "front_right.camber shim");
    const std::vector<std::vector<Shims>> packs = {{{2.0, 0.2}}, {{1.0, 0.2}}};
    const std::vector<std::vector<std::size_t>> first(2, {0});
    CHECK(missing_shims_mm(car, {left, right}, packs, first) == Shims{0.2});
    car.boxes_mm.at(stack(car, left).box) = {0.2, 0.1, 0.1};
    CHECK(missing_shims_mm(car, {left, right}, packs, first) == Shims{0.0});
}

TEST_CASE("packs that swap shims need no box, and no shim is made or lost") {
    const Car car = sharing();
    const AdjusterPlace left = place(car, "front_left.camber shim"), right = place(car, "front_right.camber shim");
    const Car after = with_packs(car, {{left, repacked({2.0}, {1.0, 0.5})}, {right, repacked({1.0, 0.5}, {2.0, 0.2})}});
    CHECK(stack(after, left).fitted_mm == Shims{1.0, 0.5});
    CHECK(stack(after, right).fitted_mm == Shims{2.0, 0.2});
    CHECK(after.boxes_mm.at("camber").empty());
    CHECK(every_shim(after) == every_shim(car));
}

TEST_CASE("other shims in one stack: no shim is made or lost, and one that is not at hand is fitted all the same") {
    const Car car = sharing();
    const AdjusterPlace rear = place(car, "rear_left.camber shim");
    const Car after = refit(car, CornerId::rear_left, "camber shim", {0.3});
    CHECK(stack(after, rear).fitted_mm == Shims{0.3});
    CHECK(stack(after, rear).box_mm == Shims{2.0});
    CHECK(every_shim(after) == every_shim(car));
    CHECK(refit(car, CornerId::front_left, "camber shim", {0.2}).boxes_mm.at("camber") == Shims{2.0});
    const auto refused = [&](CornerId id, const std::string& name, const Shims& shims) -> std::string {
        try {
            refit(car, id, name, shims);
        } catch (const InputError& error) {
            return error.what();
        }
        return "";
    };
    const Car ground = refit(car, CornerId::front_left, "camber shim", {1.0, 0.2});
    CHECK(stack(ground, place(car, "front_left.camber shim")).fitted_mm == Shims{1.0, 0.2});
    CHECK(ground.boxes_mm.at("camber") == Shims{2.0});
    CHECK(refused(CornerId::front_left, "track rod", {}).find("no such pack") != std::string::npos);
    CHECK(refused(CornerId::front_left, "nothing", {}).find("no such pack") != std::string::npos);
}

#include "shimwise/workshop/choose/boxes.hpp"

#include <algorithm>
#include <map>
#include <numeric>
#include <utility>

#include "shimwise/error.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

[[noreturn]] void refuse(CornerId id, const std::string& stack, const std::string& rule) {
    Problem problem;
    problem.field = adjuster_field(id, stack);
    problem.rule = rule;
    throw InputError({problem});
}

const Stack& stack_at(const Car& car, const AdjusterPlace& place) {
    return *car[place.corner].adjusters[place.adjuster].stack();
}

Stack& stack_at(Car& car, const AdjusterPlace& place) {
    return std::get<Stack>(car[place.corner].adjusters[place.adjuster].setting);
}

std::vector<double>& box_of(Car& car, Stack& stack) {
    return stack.box.empty() ? stack.box_mm : car.boxes_mm.at(stack.box);
}

/// Which box a stack draws on: of one with a box of its own by the stack.
std::string box_key(const Car& car, const AdjusterPlace& place) {
    const std::string& box = stack_at(car, place).box;
    return box.empty() ? "own: " + adjuster_key(place.corner, car[place.corner].adjusters[place.adjuster].name) : box;
}

void append(std::vector<double>& to, const std::vector<double>& more) { to.insert(to.end(), more.begin(), more.end()); }

std::vector<AdjusterPlace> all_stacks(const Car& car) {
    std::vector<AdjusterPlace> all;
    for (const Corner& corner : car.corners)
        for (std::size_t a = 0; a < corner.adjusters.size(); ++a)
            if (corner.adjusters[a].stack()) all.push_back({corner.id, a});
    return all;
}

struct PackWanted {
    AdjusterPlace stack;
    std::vector<double> shims_mm;
};

/// Places in `stacks` of those that draw on the same box.
std::map<std::string, std::vector<std::size_t>> by_box(const Car& car, const std::vector<AdjusterPlace>& stacks) {
    std::map<std::string, std::vector<std::size_t>> places;
    for (std::size_t i = 0; i < stacks.size(); ++i) places[box_key(car, stacks[i])].push_back(i);
    return places;
}

/// Thickness of the shims that are missing for packs out of one box; 0 where others make them as thick.
double missing_shims_mm(const Car& car, const std::vector<PackWanted>& packs) {
    std::vector<double> pool_mm = car.box_mm(stack_at(car, packs.front().stack));
    for (const PackWanted& pack : packs) append(pool_mm, stack_at(car, pack.stack).fitted_mm);
    double missing_mm = 0.0;
    std::vector<TotalAt> totals;
    for (const PackWanted& pack : packs) {
        for (const double mm : pack.shims_mm)
            if (take(pool_mm, {mm})) missing_mm += mm;
        totals.push_back({pack.stack, std::accumulate(pack.shims_mm.begin(), pack.shims_mm.end(), 0.0)});
    }
    return missing_mm > 0.0 && packs_together(car, totals) ? 0.0 : missing_mm;  // by others as thick
}

}  // namespace

std::vector<AdjusterPlace> sharing_box(const Car& car, const AdjusterPlace& stack,
                                       const std::vector<AdjusterPlace>& stacks) {
    const std::string& box = stack_at(car, stack).box;
    std::vector<AdjusterPlace> sharing;
    for (const AdjusterPlace& other : stacks) {
        const bool itself = other.corner == stack.corner && other.adjuster == stack.adjuster;
        if (!box.empty() && !itself && stack_at(car, other).box == box) sharing.push_back(other);
    }
    return sharing;
}

std::vector<double> at_hand_mm(const Car& car, const AdjusterPlace& stack, const std::vector<AdjusterPlace>& stacks) {
    std::vector<double> at_hand = car.box_mm(stack_at(car, stack));
    for (const AdjusterPlace& other : sharing_box(car, stack, stacks)) append(at_hand, stack_at(car, other).fitted_mm);
    return at_hand;
}

bool all_at_hand(const Car& car, const AdjusterPlace& stack, const std::vector<double>& shims_mm) {
    std::vector<double> pool_mm = at_hand_mm(car, stack, all_stacks(car));
    append(pool_mm, stack_at(car, stack).fitted_mm);
    return !take(pool_mm, shims_mm);
}

std::string not_at_hand_words(const Car& car, const AdjusterPlace& stack, const std::vector<double>& shims_mm) {
    if (all_at_hand(car, stack, shims_mm)) return "";
    return adjuster_key(stack.corner, car[stack.corner].adjusters[stack.adjuster].name) + ": not all of " +
           pack_words(shims_mm) + " is at hand for it";
}

AdjusterPlace demand_stack(const Car& car, const std::string& key) {
    const std::optional<AdjusterPlace> place = find_adjuster(car, key);
    if (!place || !car[place->corner].adjusters[place->adjuster].stack())
        throw InputError({{"", 0, 0, key, "", "is no pack of shims of " + car.name}});
    return *place;
}

std::vector<double> missing_shims_mm(const Car& car, const std::vector<AdjusterPlace>& stacks,
                                     const std::vector<std::vector<std::vector<double>>>& packs_of_each_mm,
                                     const std::vector<std::vector<std::size_t>>& picked_of_each) {
    std::vector<double> sums_mm(picked_of_each.at(0).size());
    for (const auto& [box, sharing] : by_box(car, stacks)) {
        std::map<std::vector<std::size_t>, double> known_mm;  // of combinations out of this box
        for (std::size_t k = 0; k < sums_mm.size(); ++k) {
            std::vector<std::size_t> picked;
            for (const std::size_t i : sharing) picked.push_back(picked_of_each.at(i).at(k));
            const auto [missing, fresh] = known_mm.try_emplace(picked);
            if (fresh) {
                std::vector<PackWanted> packs;
                for (std::size_t j = 0; j < sharing.size(); ++j)
                    packs.push_back({stacks[sharing[j]], packs_of_each_mm.at(sharing[j]).at(picked[j])});
                missing->second = missing_shims_mm(car, packs);
            }
            sums_mm[k] += missing->second;
        }
    }
    return sums_mm;
}

std::optional<std::vector<StackChoice>> packs_together(const Car& car, const std::vector<TotalAt>& totals) {
    std::vector<AdjusterPlace> stacks;
    for (const TotalAt& total : totals) stacks.push_back(total.stack);
    std::vector<StackChoice> packs(totals.size());
    for (const auto& [box, sharing] : by_box(car, stacks)) {
        std::vector<std::vector<double>> fitted_mm;
        std::vector<double> wanted_mm;
        for (const std::size_t i : sharing) {
            fitted_mm.push_back(stack_at(car, totals[i].stack).fitted_mm);
            wanted_mm.push_back(totals[i].total_mm);
        }
        auto made = stack_together(fitted_mm, car.box_mm(stack_at(car, totals[sharing.front()].stack)), wanted_mm);
        if (!made) return std::nullopt;
        for (std::size_t i = 0; i < sharing.size(); ++i) packs[sharing[i]] = std::move((*made)[i]);
    }
    return packs;
}

Car with_packs(Car car, const std::vector<PackAt>& packs) {
    for (const PackAt& pack : packs) {
        Stack& stack = stack_at(car, pack.stack);
        stack.fitted_mm = pack.shims.shims_mm;
        append(box_of(car, stack), pack.shims.remove_mm);
    }
    for (const PackAt& pack : packs) {
        std::vector<double>& box_mm = box_of(car, stack_at(car, pack.stack));
        take(box_mm, pack.shims.add_mm);
        std::sort(box_mm.begin(), box_mm.end());
    }
    return car;
}

Car refit(Car car, CornerId id, const std::string& name, const std::vector<double>& shims_mm) {
    const std::optional<std::size_t> found = car[id].find(name);
    const Stack* stack = found ? car[id].adjusters[*found].stack() : nullptr;
    if (!stack) refuse(id, name, "this corner has no such pack of shims");

    std::vector<double> box_mm = car.box_mm(*stack);
    append(box_mm, stack->fitted_mm);
    for (const double mm : shims_mm) take(box_mm, {mm});
    std::sort(box_mm.begin(), box_mm.end());

    const std::string key = adjuster_key(id, name);
    Settings settings;
    settings.car = car.name;
    settings.shims_mm[key] = shims_mm;
    settings.box_mm[stack->box.empty() ? key : stack->box] = box_mm;
    return with_settings(std::move(car), settings);
}

}  // namespace shimwise

#include <algorithm>
#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

constexpr double same_mm = 1e-9;

[[noreturn]] void refuse(CornerId id, const std::string& stack, const std::string& rule) {
    Problem problem;
    problem.field = adjuster_field(id, stack);
    problem.rule = rule;
    throw InputError({problem});
}

}  // namespace

Car refit(Car car, CornerId id, const std::string& name, const std::vector<double>& shims_mm) {
    const std::optional<std::size_t> found = car[id].find(name);
    const Stack* stack = found ? car[id].adjusters[*found].stack() : nullptr;
    if (!stack) refuse(id, name, "this corner has no such pack of shims");

    std::vector<double> box_mm = car.box_mm(*stack);
    box_mm.insert(box_mm.end(), stack->fitted_mm.begin(), stack->fitted_mm.end());
    for (const double shim : shims_mm) {
        const auto same = [shim](double other) { return std::fabs(other - shim) < same_mm; };
        const auto taken = std::find_if(box_mm.begin(), box_mm.end(), same);
        if (taken == box_mm.end()) refuse(id, name, "no shim of " + mm_words(shim) + " is at hand for it");
        box_mm.erase(taken);
    }
    std::sort(box_mm.begin(), box_mm.end());

    const std::string key = std::string(corner_names[index(id)]) + "." + name;
    Settings settings;
    settings.car = car.name;
    settings.shims_mm[key] = shims_mm;
    settings.box_mm[stack->box.empty() ? key : stack->box] = box_mm;
    return with_settings(std::move(car), settings);
}

}  // namespace shimwise

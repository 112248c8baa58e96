#include "workshop/choose/recipe_nearest.hpp"

#include "workshop/choose/best_first.hpp"

namespace shimwise {

std::optional<std::vector<double>> nearest_together(const std::vector<std::vector<NearSetting>>& settings,
                                                    const std::function<bool(const std::vector<double>&)>& accepted) {
    std::vector<std::vector<double>> squared_steps;
    for (const std::vector<NearSetting>& of_one : settings) {
        squared_steps.emplace_back();
        for (const NearSetting& one : of_one) squared_steps.back().push_back(one.off_steps * one.off_steps);
    }
    auto found = best_first<std::vector<double>>(
        squared_steps, [&](const Ranks& at, double&) -> std::optional<std::vector<double>> {
            std::vector<double> amounts_mm;
            for (std::size_t a = 0; a < at.size(); ++a) amounts_mm.push_back(settings[a][at[a]].amount_mm);
            return accepted(amounts_mm) ? std::optional(std::move(amounts_mm)) : std::nullopt;
        });
    return found ? std::optional(std::move(found->settled)) : std::nullopt;
}

}  // namespace shimwise

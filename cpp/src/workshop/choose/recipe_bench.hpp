// What a hand can do with the adjusters of a recipe: their limits, the shims at hand, the words for it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "shimwise/workshop/choose/allowed.hpp"
#include "shimwise/workshop/choose/recipes.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "workshop/choose/recipe_nearest.hpp"
#include "workshop/choose/recipe_sets.hpp"

namespace shimwise {

/// Sets hold places in the list of adjusters; amounts are in mm from as it stands, in a set's order.
class RecipeBench {
public:
    /// Keeps a reference to the car.
    RecipeBench(const Car& car, std::vector<AdjusterPlace> places);

    const AdjusterPlace& place(std::size_t a) const { return places_[a]; }
    const Adjuster& adjuster(std::size_t a) const { return car_[places_[a].corner].adjusters[places_[a].adjuster]; }
    /// What a hand can set: a step of a thread, the thinnest shim at hand.
    const std::vector<double>& step_mm() const { return step_mm_; }
    const std::vector<double>& minutes() const { return minutes_; }

    /// Limits of the car file, and the ends of what the shims at hand make.
    std::vector<std::string> broken(const AdjusterSet& set, const std::vector<double>& amounts_mm) const;
    /// The shims of each stack of a set (of threads: none), no shim used twice; nothing where the shims do not make it.
    std::optional<std::vector<StackChoice>> packs_of(const AdjusterSet& set,
                                                     const std::vector<double>& amounts_mm) const;
    /// What can be set of an adjuster, nearest first: of a thread so many steps either side and as it stands, of a
    /// stack every pack that its box makes.
    std::vector<NearSetting> settings_near(std::size_t adjuster, double amount_mm, int steps = 1) const;

    std::vector<RecipePart> parts(const AdjusterSet& set, const std::vector<double>& amounts_mm) const;
    /// Fills in what is set instead. `packs`: as `packs_of` gave them.
    void set_nearest(const AdjusterSet& set, std::vector<RecipePart>& parts, const std::vector<double>& amounts_mm,
                     const std::vector<StackChoice>& packs) const;
    /// Why nothing can be set of a recipe whose exact amounts keep the limits: what the nearest steps and packs break.
    std::vector<std::string> not_settable(const AdjusterSet& set, const std::vector<double>& amounts_mm) const;

private:
    Car with_amounts(const AdjusterSet& set, const std::vector<double>& amounts_mm) const;
    std::string name_of(std::size_t a) const;

    const Car& car_;
    std::vector<AdjusterPlace> places_;
    std::vector<double> step_mm_, minutes_;
    std::vector<std::vector<StackChoice>> packs_;  // of each that is a stack: what the shims at hand make
    bool one_corner_ = true;                       // then an adjuster's own name is enough
};

}  // namespace shimwise

#include "shimwise/workshop/choose/car_recipe.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

#include "shimwise/error.hpp"
#include "shimwise/math/integer_least_squares.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/choose/car_recipe_refusal.hpp"
#include "workshop/choose/car_recipe_solver.hpp"
#include "workshop/choose/recipe_choice.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double most_sets = 1e5;
constexpr int most_rests = 2'000;      // in a search: seconds
constexpr int steps_either_side = 24;  // of the exact amount: what is looked at for the nearest settings
constexpr std::size_t listed_first = 50;
constexpr std::size_t listed_at_most = 3200;
constexpr std::uint64_t most_nodes = 2'000'000;
constexpr double root_per_step_off = 1e-3;  // of equally good settings those nearest in steps

class CarFinder {
public:
    CarFinder(const RestModel& model, const CarRecipeAsk& ask, const PadHeights& pads_mm)
        : model_(model),
          state_(rest(model, pads_mm)),
          rates_(rest_rates(model, state_, pads_mm)),
          task_(car_recipe_task(model, ask, rates_)),
          bench_(model.car, task_.places),
          solver_(model, pads_mm, state_, rates_, task_, bench_.step_mm()),
          all_(task_.places.size()),
          change_(static_cast<Index>(task_.values.size())) {
        std::iota(all_.begin(), all_.end(), std::size_t{0});
        for (std::size_t v = 0; v < task_.values.size(); ++v) change_(static_cast<Index>(v)) = task_.values[v].by;
    }

    CarRecipe recipe();

private:
    std::vector<WorkSet> sets();
    void choose(const std::vector<WorkSet>& sets);
    void tell(const RecipeFound& found);
    bool set_nearest(const RecipeFound& found);
    void tell_values();
    void note_stops(const RestState& state, const std::string& when);

    const RestModel& model_;
    RestState state_;
    MatrixXd rates_;
    CarRecipeTask task_;
    RecipeBench bench_;
    CarRecipeSolver solver_;
    AdjusterSet all_;
    VectorXd change_;
    CarRecipe recipe_;
};

/// Sets of at most one adjuster more than there are values: one more lets two share what a limit keeps either from
/// doing. Beyond the bound: all, less the dearest one by one as long as the rest still does it.
std::vector<WorkSet> CarFinder::sets() {
    const std::size_t most = task_.values.size() + 1;
    if (count_of_sets(all_, bench_.minutes(), most) <= most_sets) return sets_by_minutes(all_, bench_.minutes(), most);
    recipe_.notes.emplace_back(
        "too many sets of adjusters to try: the dearest were dropped one by one, which need not "
        "find the least work");
    AdjusterSet set = all_, dearest_first = all_;
    std::stable_sort(dearest_first.begin(), dearest_first.end(),
                     [&](std::size_t a, std::size_t b) { return bench_.minutes()[a] > bench_.minutes()[b]; });
    for (const std::size_t a : dearest_first) {
        AdjusterSet fewer = set;
        std::erase(fewer, a);
        if (solver_.can(fewer, change_)) set = fewer;
    }
    double minutes = 0.0;
    for (const std::size_t a : set) minutes += bench_.minutes()[a];
    return {{set, minutes}};
}

CarRecipe CarFinder::recipe() {
    recipe_.outputs = rest_outputs(model_);
    recipe_.now = row(state_.values, recipe_.outputs);
    recipe_.change = recipe_.nearest_change = std::vector<double>(recipe_.now.size());
    note_stops(state_, "now");
    recipe_.refusal = all_.empty() ? "this car has nothing that may turn for it"
                                   : why_not_together(solver_, task_, all_, change_, model_.twists());
    if (recipe_.refusal.empty()) choose(sets());
    tell_values();
    return std::move(recipe_);
}

void CarFinder::choose(const std::vector<WorkSet>& sets) {
    solver_.allow(most_rests);
    const auto found = least_work(sets, solver_, bench_, change_);
    bool spent = solver_.spent();
    if (found) tell(*found);
    recipe_.reach = 1.0;
    if (!found || !recipe_.inside()) {
        solver_.allow(most_rests);
        recipe_.reach = reach_of(sets, solver_, bench_, change_);
        spent = spent || solver_.spent();
    }
    if (!found)
        recipe_.refusal = solver_.failure().empty() ? "no turns were found that meet it"
                                                    : "the car finds no rest that far: " + solver_.failure();
    if (spent)
        recipe_.notes.push_back("the search was ended after " + std::to_string(most_rests) +
                                " states of the car at rest: it may go further, or with less work");
}

void CarFinder::tell(const RecipeFound& found) {
    const AdjusterSet& set = found.set.adjusters;
    recipe_.limits = found.limits;
    recipe_.parts = bench_.parts(set, found.solution.amounts_mm);
    recipe_.minutes = found.set.minutes;
    const RestState after = solver_.state(set, found.solution.amounts_mm);
    const std::vector<double> row_after = row(after.values, recipe_.outputs);
    for (std::size_t o = 0; o < row_after.size(); ++o) recipe_.change[o] = row_after[o] - recipe_.now[o];
    recipe_.nearest_change = recipe_.change;
    note_stops(after, "then");
    if (!found.limits.empty()) return;
    if (!set_nearest(found)) recipe_.limits = bench_.not_settable(set, found.solution.amounts_mm);
}

/// A row for each value over its tolerance, about the exact amounts x*: |J (x - x*)|; the best of the list by what the
/// car at rest then shows. False where nothing of it can be set inside the limits.
bool CarFinder::set_nearest(const RecipeFound& found) {
    const AdjusterSet& set = found.set.adjusters;
    const auto rows = static_cast<Index>(task_.values.size()), columns = static_cast<Index>(set.size());
    const VectorXd exact_mm = Eigen::Map<const VectorXd>(found.solution.amounts_mm.data(), columns);
    MatrixXd A = MatrixXd::Zero(rows + columns, columns);
    A.topRows(rows) = solver_.per_mm(set, found.solution.amounts_mm);
    for (Index v = 0; v < rows; ++v) A.row(v) /= solver_.tolerance(static_cast<std::size_t>(v));
    std::vector<AllowedValues> allowed;
    for (std::size_t a = 0; a < set.size(); ++a) {
        A(rows + static_cast<Index>(a), static_cast<Index>(a)) = root_per_step_off / bench_.step_mm()[set[a]];
        AllowedValues values;
        for (const NearSetting& one : bench_.settings_near(set[a], found.solution.amounts_mm[a], steps_either_side))
            if (bench_.broken({set[a]}, {one.amount_mm}).empty()) values.push_back(one.amount_mm);
        if (values.empty()) return false;
        std::sort(values.begin(), values.end());
        allowed.push_back(std::move(values));
    }
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t count = listed_first; count <= listed_at_most && !std::isfinite(least); count *= 8) {
        const auto list = integer_least_squares(A, A * exact_mm, allowed, count, most_nodes).best;
        for (const IntegerSolution& one : list) {
            const std::vector<double> amounts_mm(one.x.begin(), one.x.end());
            const auto packs = bench_.packs_of(set, amounts_mm);
            if (!packs || !bench_.broken(set, amounts_mm).empty()) continue;
            try {
                const RestState after = solver_.state(set, amounts_mm);
                VectorXd off = solver_.values(after) - solver_.now() - change_;
                for (Index v = 0; v < rows; ++v) off(v) /= solver_.tolerance(static_cast<std::size_t>(v));
                const double cost = off.squaredNorm() + (A.bottomRows(columns) * (one.x - exact_mm)).squaredNorm();
                if (!(cost < least)) continue;
                least = cost;
                recipe_.nearest_within = off.cwiseAbs().maxCoeff() <= 1.0;
                recipe_.nearest_change = row(after.values, recipe_.outputs);
                bench_.set_nearest(set, recipe_.parts, amounts_mm, *packs);
            } catch (const OutOfReach&) {
                continue;  // the car does not stand like that
            }
        }
        if (list.size() < count) break;
    }
    if (!std::isfinite(least)) return false;
    for (std::size_t o = 0; o < recipe_.now.size(); ++o) recipe_.nearest_change[o] -= recipe_.now[o];
    for (const RecipePart& part : recipe_.parts)
        if (!part.nearest_words.empty()) recipe_.nearest_minutes += part.minutes;
    return true;
}

void CarFinder::tell_values() {
    for (const AskedValue& asked : task_.values) {
        const NamedValue& named = asked.named;
        recipe_.values.push_back({named.id, asked.aim, asked.by, asked.at_flags_mm, asked.tolerance,
                                  value(named, recipe_.now), value(named, recipe_.change),
                                  value(named, recipe_.nearest_change)});
    }
}

/// A damper on its droop stop is a state, not an error, and is said.
void CarFinder::note_stops(const RestState& state, const std::string& when) {
    for (std::size_t c = 0; c < corner_count; ++c)
        if (state.corners[c].on_droop_stop)
            recipe_.notes.push_back(spaced_words(corner_names[c]) + ": " + when +
                                    " the damper is on its droop stop and carries " +
                                    fixed_words(state.corners[c].stop_pull_N, 0) + " N of the spring's load");
}

}  // namespace

CarRecipe car_recipe(const RestModel& model, const CarRecipeAsk& ask, const PadHeights& pads_mm) {
    return CarFinder(model, ask, pads_mm).recipe();
}

}  // namespace shimwise

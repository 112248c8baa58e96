#include "workshop/choose/car_recipe_refusal.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

/// "front left toe", "ride height front left"
std::string spoken(const ValueId& id) {
    std::string words = spaced_words(key(id));
    std::replace(words.begin(), words.end(), '.', ' ');
    return words;
}

std::string unit_words(std::string_view unit) {
    return unit == "percent" ? " %" : unit.empty() ? "" : " " + std::string(unit);
}

std::string amount_words(const AskedValue& asked) {
    int decimals = 0;
    while (decimals < 4 && std::fabs(asked.by * std::pow(10.0, decimals) -
                                     std::round(asked.by * std::pow(10.0, decimals))) > 1e-9 * std::fabs(asked.by))
        ++decimals;
    return spoken(asked.named.id) + " " + signed_words(asked.by, decimals) + unit_words(info(asked.named.id).unit);
}

}  // namespace

std::string why_not_together(const CarRecipeSolver& solver, const CarRecipeTask& task, const AdjusterSet& all,
                             const Eigen::VectorXd& change, bool twists) {
    std::vector<std::size_t> values(task.values.size());
    std::iota(values.begin(), values.end(), std::size_t{0});
    if (solver.can(all, change, values)) return {};
    for (std::size_t v = task.values.size(); v-- > 0;) {  // what is kept goes first: it stands behind the aims
        std::vector<std::size_t> fewer = values;
        std::erase(fewer, v);
        if (!fewer.empty() && !solver.can(all, change, fewer)) values = fewer;
    }
    std::vector<std::string> aims, kept;
    std::ptrdiff_t heights = 0, weights = 0, shares = 0;
    for (const std::size_t v : values) {
        const AskedValue& asked = task.values[v];
        (asked.aim ? aims : kept).push_back(asked.aim ? amount_words(asked) : spoken(asked.named.id));
        const ValueKind kind = info(asked.named.id).kind;
        heights += kind == ValueKind::height ? 1 : 0;
        weights += kind == ValueKind::weight ? 1 : 0;
        shares += kind == ValueKind::share ? 1 : 0;
    }
    std::string text = "what may turn cannot do " + listed_words(aims);
    if (!kept.empty()) text += " with " + listed_words(kept) + " kept";
    const auto count = static_cast<std::ptrdiff_t>(values.size());
    if (count == 1 && shares == 0) return text + ": nothing of it moves that alone";
    if (shares > 0) return text + ": where the masses are decides it, ballast moves it";
    if (weights > 1)
        return text +
               ": masses and heights leave one unknown of the weights, so that cross weight and the differences at "
               "front and rear go together";
    if (heights == count && heights > 3 && !twists)
        return text + ": the chassis is rigid, three heights decide all others";
    return text + ": they go together";
}

}  // namespace shimwise

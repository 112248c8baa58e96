#include "workshop/choose/recipe_sets.hpp"

#include <algorithm>
#include <utility>

namespace shimwise {

std::vector<WorkSet> sets_by_minutes(const AdjusterSet& usable, const std::vector<double>& minutes, std::size_t most) {
    WorkSet none;
    AdjusterSet paid;
    for (const std::size_t a : usable) (minutes[a] > 0.0 ? paid : none.adjusters).push_back(a);
    std::vector<WorkSet> sets = {none};
    std::size_t first = 0;
    for (std::size_t size = 1; size <= std::min(most, paid.size()); ++size) {
        const std::size_t end = sets.size();
        for (; first < end; ++first)
            for (const std::size_t a : paid) {
                const AdjusterSet& smaller = sets[first].adjusters;
                if (smaller.size() > none.adjusters.size() && a <= smaller.back()) continue;
                WorkSet larger = sets[first];
                larger.adjusters.push_back(a);
                larger.minutes += minutes[a];
                sets.push_back(std::move(larger));
            }
    }
    std::stable_sort(sets.begin(), sets.end(),
                     [](const WorkSet& a, const WorkSet& b) { return a.minutes < b.minutes; });
    return sets;
}

double count_of_sets(const AdjusterSet& usable, const std::vector<double>& minutes, std::size_t most) {
    const auto paid = static_cast<double>(
        std::count_if(usable.begin(), usable.end(), [&](std::size_t a) { return minutes[a] > 0.0; }));
    double count = 1.0, of_size = 1.0;
    for (double size = 1.0; size <= std::min(static_cast<double>(most), paid); size += 1.0)
        count += of_size *= (paid - size + 1.0) / size;
    return count;
}

}  // namespace shimwise

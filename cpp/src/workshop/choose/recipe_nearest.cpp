#include "workshop/choose/recipe_nearest.hpp"

#include <queue>
#include <utility>

namespace shimwise {
namespace {

struct Node {
    double sum = 0.0;
    std::vector<std::size_t> at;  // rank of each adjuster's setting
    std::size_t from = 0;         // adjusters before it stay: every set of ranks is reached once
};

struct Later {
    bool operator()(const Node& a, const Node& b) const { return a.sum != b.sum ? b.sum < a.sum : b.at < a.at; }
};

}  // namespace

std::optional<std::vector<double>> nearest_together(const std::vector<std::vector<NearSetting>>& settings,
                                                    const std::function<bool(const std::vector<double>&)>& accepted) {
    for (const std::vector<NearSetting>& one : settings)
        if (one.empty()) return std::nullopt;
    const auto node = [&](std::vector<std::size_t> at, std::size_t from) {
        double sum = 0.0;
        for (std::size_t a = 0; a < at.size(); ++a) sum += settings[a][at[a]].off_steps * settings[a][at[a]].off_steps;
        return Node{sum, std::move(at), from};
    };
    std::priority_queue<Node, std::vector<Node>, Later> queue;
    queue.push(node(std::vector<std::size_t>(settings.size(), 0), 0));
    while (!queue.empty()) {
        const Node best = queue.top();
        queue.pop();
        std::vector<double> amounts_mm;
        for (std::size_t a = 0; a < settings.size(); ++a) amounts_mm.push_back(settings[a][best.at[a]].amount_mm);
        if (accepted(amounts_mm)) return amounts_mm;
        for (std::size_t a = best.from; a < settings.size(); ++a) {
            std::vector<std::size_t> next = best.at;
            if (++next[a] < settings[a].size()) queue.push(node(std::move(next), a));
        }
    }
    return std::nullopt;
}

}  // namespace shimwise

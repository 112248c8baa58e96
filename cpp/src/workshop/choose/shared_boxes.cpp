#include "workshop/choose/shared_boxes.hpp"

#include <algorithm>
#include <queue>

namespace shimwise {
namespace {

struct InBox {
    std::size_t corner;  // place in the group
    std::size_t unknown;
    double total_mm;
};

struct Node {
    Key key;
    std::vector<std::size_t> at;  // rank of each corner's option
    std::size_t from = 0;         // corners before it stay: every set of ranks is reached once
    std::optional<Packs> packs;   // settled: with its true key
};

struct Later {
    bool operator()(const Node& a, const Node& b) const { return a.key != b.key ? b.key < a.key : b.at < a.at; }
};

}  // namespace

std::optional<Packs> pack(const Car& car, const std::vector<const CornerProblem*>& corners, const Picks& picks) {
    std::map<std::string, std::vector<InBox>> boxes;
    for (std::size_t c = 0; c < corners.size(); ++c) {
        const std::vector<std::size_t> shared = shared_unknowns(*corners[c]);
        for (std::size_t i = 0; i < shared.size(); ++i) {
            const Unknown& unknown = corners[c]->unknowns[shared[i]];
            boxes[unknown.shared_box].push_back({c, shared[i], unknown.settings[picks[c]->shared[i]].setting});
        }
    }
    Packs packs;
    for (const auto& [name, stacks] : boxes) {
        std::vector<std::vector<double>> fitted;
        std::vector<double> totals;
        const auto adjuster = [&](const InBox& s) -> const Adjuster& {
            return car[corners[s.corner]->id].adjusters[corners[s.corner]->unknowns[s.unknown].adjuster];
        };
        for (const InBox& stack : stacks) {
            fitted.push_back(adjuster(stack).stack()->fitted_mm);
            totals.push_back(stack.total_mm);
        }
        const auto choices = stack_together(fitted, car.boxes_mm.at(name), totals);
        if (!choices) return std::nullopt;
        for (std::size_t s = 0; s < stacks.size(); ++s) {
            const std::size_t corner = index(corners[stacks[s].corner]->id);
            const auto& unknown = corners[stacks[s].corner]->unknowns[stacks[s].unknown];
            const bool same_total = unknown.present && unknown.settings[*unknown.present].setting == totals[s];
            if (same_total && (*choices)[s].moved() > 0) packs.repack_minutes[corner] += adjuster(stacks[s]).minutes;
            packs.by_unknown[corner][stacks[s].unknown] = (*choices)[s];
        }
    }
    return packs;
}

std::optional<Together> best_together(const Car& car, const std::vector<const CornerProblem*>& corners,
                                      const std::vector<const CornerSearch*>& searches,
                                      const std::function<std::optional<Key>(std::size_t, const Option&)>& key,
                                      bool counts_repacking) {
    struct Ranked {
        Key key;
        const Option* option;
    };
    std::vector<std::vector<Ranked>> ranked(corners.size());
    for (std::size_t c = 0; c < corners.size(); ++c) {
        for (const Option& option : searches[c]->options)
            if (const auto k = key(c, option)) ranked[c].push_back({*k, &option});
        if (ranked[c].empty()) return std::nullopt;
        std::stable_sort(ranked[c].begin(), ranked[c].end(),
                         [](const Ranked& a, const Ranked& b) { return a.key < b.key; });
    }
    const auto picks_of = [&](const std::vector<std::size_t>& at) {
        Picks picks;
        for (std::size_t c = 0; c < at.size(); ++c) picks.push_back(ranked[c][at[c]].option);
        return picks;
    };
    const auto node = [&](std::vector<std::size_t> at, std::size_t from) {
        Key sum;
        for (std::size_t c = 0; c < at.size(); ++c) sum = sum + ranked[c][at[c]].key;
        return Node{sum, std::move(at), from, std::nullopt};
    };
    std::priority_queue<Node, std::vector<Node>, Later> queue;
    queue.push(node(std::vector<std::size_t>(corners.size(), 0), 0));
    while (!queue.empty()) {
        Node best = queue.top();
        queue.pop();
        if (best.packs) return Together{picks_of(best.at), std::move(*best.packs)};
        for (std::size_t c = best.from; c < best.at.size(); ++c) {
            std::vector<std::size_t> next = best.at;
            if (++next[c] < ranked[c].size()) queue.push(node(std::move(next), c));
        }
        best.packs = pack(car, corners, picks_of(best.at));
        if (!best.packs) continue;
        if (counts_repacking)
            for (const double minutes : best.packs->repack_minutes) best.key.first += minutes;
        queue.push(std::move(best));
    }
    return std::nullopt;
}

std::vector<std::vector<std::size_t>> groups_of(const std::array<CornerProblem, corner_count>& problems) {
    std::array<std::size_t, corner_count> group = {0, 1, 2, 3};
    std::map<std::string, std::size_t> first;
    for (std::size_t c = 0; c < corner_count; ++c)
        for (const Unknown& unknown : problems[c].unknowns) {
            if (unknown.shared_box.empty()) continue;
            const std::size_t old = group[c];
            const std::size_t joined = group[first.try_emplace(unknown.shared_box, c).first->second];
            std::replace(group.begin(), group.end(), std::max(old, joined), std::min(old, joined));
        }
    std::vector<std::vector<std::size_t>> groups;
    for (std::size_t g = 0; g < corner_count; ++g) {
        std::vector<std::size_t> members;
        for (std::size_t c = 0; c < corner_count; ++c)
            if (group[c] == g) members.push_back(c);
        if (!members.empty()) groups.push_back(std::move(members));
    }
    return groups;
}

}  // namespace shimwise

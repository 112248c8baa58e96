#include "workshop/choose/shared_boxes.hpp"

#include <algorithm>

#include "shimwise/workshop/choose/boxes.hpp"
#include "workshop/choose/best_first.hpp"

namespace shimwise {

std::optional<Packs> pack(const Car& car, const std::vector<const CornerProblem*>& corners, const Picks& picks) {
    struct Shared {
        std::size_t corner;  // place in the group
        std::size_t unknown;
    };
    std::vector<Shared> shared;
    std::vector<TotalAt> totals;
    for (std::size_t c = 0; c < corners.size(); ++c) {
        const std::vector<std::size_t> unknowns = shared_unknowns(*corners[c]);
        for (std::size_t i = 0; i < unknowns.size(); ++i) {
            const Unknown& unknown = corners[c]->unknowns[unknowns[i]];
            shared.push_back({c, unknowns[i]});
            totals.push_back({{corners[c]->id, unknown.adjuster}, unknown.settings[picks[c]->shared[i]].setting});
        }
    }
    auto made = packs_together(car, totals);
    if (!made) return std::nullopt;
    Packs packs;
    for (std::size_t s = 0; s < shared.size(); ++s) {
        const CornerProblem& corner = *corners[shared[s].corner];
        const Unknown& unknown = corner.unknowns[shared[s].unknown];
        const bool same_total = unknown.present && unknown.settings[*unknown.present].setting == totals[s].total_mm;
        if (same_total && (*made)[s].moved() > 0)
            packs.repack_minutes[index(corner.id)] += car[corner.id].adjusters[unknown.adjuster].minutes;
        packs.by_unknown[index(corner.id)][shared[s].unknown] = std::move((*made)[s]);
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
        std::stable_sort(ranked[c].begin(), ranked[c].end(),
                         [](const Ranked& a, const Ranked& b) { return a.key < b.key; });
    }
    std::vector<std::vector<Key>> keys;
    for (const std::vector<Ranked>& of_corner : ranked) {
        keys.emplace_back();
        for (const Ranked& one : of_corner) keys.back().push_back(one.key);
    }
    const auto picks_of = [&](const Ranks& at) {
        Picks picks;
        for (std::size_t c = 0; c < at.size(); ++c) picks.push_back(ranked[c][at[c]].option);
        return picks;
    };
    auto found = best_first<Packs>(keys, [&](const Ranks& at, Key& sum) {
        auto packs = pack(car, corners, picks_of(at));
        if (packs && counts_repacking)
            for (const double minutes : packs->repack_minutes) sum.first += minutes;
        return packs;
    });
    if (!found) return std::nullopt;
    return Together{picks_of(found->at), std::move(found->settled)};
}

std::vector<std::vector<std::size_t>> groups_of(const CornerProblems& problems) {
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

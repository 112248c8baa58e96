// One choice at each of several places, the best that can be had together first.
#pragma once

#include <optional>
#include <queue>
#include <utility>
#include <vector>

namespace shimwise {

/// At each place a rank among its choices.
using Ranks = std::vector<std::size_t>;

template <class Settled>
struct BestFound {
    Ranks at;
    Settled settled;
};

/// `keys`: at each place those of its choices, ascending; a combination's key is their sum. `settle(ranks, key)` says
/// whether the choices can be had together: nothing, or what that takes; it may add to the key. The first of least
/// key; of equal ones the one with the lower ranks. Exact: keys only grow. Nothing where some place has no choice, or
/// nothing settles.
template <class Settled, class Key, class Settle>
std::optional<BestFound<Settled>> best_first(const std::vector<std::vector<Key>>& keys, const Settle& settle) {
    struct Node {
        Key key;
        Ranks at;
        std::size_t from = 0;            // places before it stay: every combination is reached once
        std::optional<Settled> settled;  // then the key is its true one
    };
    const auto later = [](const Node& a, const Node& b) { return a.key != b.key ? b.key < a.key : b.at < a.at; };
    const auto node = [&](Ranks at, std::size_t from) {
        Key sum{};
        for (std::size_t place = 0; place < at.size(); ++place) sum = sum + keys[place][at[place]];
        return Node{sum, std::move(at), from, std::nullopt};
    };
    for (const std::vector<Key>& choices : keys)
        if (choices.empty()) return std::nullopt;
    std::priority_queue<Node, std::vector<Node>, decltype(later)> queue(later);
    queue.push(node(Ranks(keys.size(), 0), 0));
    while (!queue.empty()) {
        Node best = queue.top();
        queue.pop();
        if (best.settled) return BestFound<Settled>{std::move(best.at), std::move(*best.settled)};
        for (std::size_t place = best.from; place < keys.size(); ++place) {
            Ranks next = best.at;
            if (++next[place] < keys[place].size()) queue.push(node(std::move(next), place));
        }
        best.settled = settle(std::as_const(best.at), best.key);
        if (best.settled) queue.push(std::move(best));
    }
    return std::nullopt;
}

}  // namespace shimwise

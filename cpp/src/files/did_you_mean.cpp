#include "shimwise/files/did_you_mean.hpp"

#include <algorithm>

namespace shimwise {

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
    for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
    for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i)
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = d[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, replaced});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
        }
    return d[a.size()][b.size()];
}

std::string nearest_name(std::string_view name, const std::vector<std::string>& candidates) {
    const std::size_t farthest = std::max<std::size_t>(1, name.size() / 3);
    std::string best;
    std::size_t best_distance = farthest + 1;
    for (const std::string& candidate : candidates) {
        const auto [shorter, longer] = std::minmax({name.size(), candidate.size()});
        if (longer - shorter >= best_distance) continue;  // a letter for each is the least
        const std::size_t distance = edit_distance(name, candidate);
        if (distance < best_distance) {
            best = candidate;
            best_distance = distance;
        }
    }
    return best;
}

std::string did_you_mean(std::string_view name, const std::vector<std::string>& candidates) {
    if (candidates.empty()) return {};
    const std::string best = nearest_name(name, candidates);
    if (!best.empty()) return "; did you mean \"" + best + "\"?";
    constexpr std::size_t most_listed = 8;
    if (candidates.size() > most_listed) return {};
    std::string all;
    for (const std::string& candidate : candidates) all += (all.empty() ? "" : ", ") + candidate;
    return "; known are " + all;
}

}  // namespace shimwise

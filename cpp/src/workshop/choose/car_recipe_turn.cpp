#include "workshop/choose/car_recipe_turn.hpp"

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/rest/model.hpp"
#include "shimwise/workshop/measure/as_read.hpp"

namespace shimwise {
namespace {

std::set<std::pair<std::size_t, Purpose>> purposes_by_default(const RestModel& m,
                                                              const std::vector<std::size_t>& outputs) {
    std::set<std::pair<std::size_t, Purpose>> all;
    for (std::size_t c = 0; c < corner_count; ++c)
        for (const Purpose purpose : {Purpose::ride_height, Purpose::corner_weight}) all.emplace(c, purpose);
    const std::vector<ValueId> known = rest_outputs(m);
    for (const std::size_t o : outputs)
        if (const auto& purpose = info(known[o]).purpose)
            for (const std::size_t c : corners_of(known[o])) all.emplace(c, *purpose);
    return all;
}

}  // namespace

std::vector<AdjusterPlace> places_that_turn(const RestModel& m, const std::vector<std::string>& turn,
                                            const std::vector<std::size_t>& outputs, std::vector<Problem>& problems) {
    const auto by_default = purposes_by_default(m, outputs);
    std::vector<bool> found(turn.size());
    std::vector<std::string> known(purpose_names.begin(), purpose_names.end());
    std::vector<AdjusterPlace> places;
    for (const Corner& corner : m.car.corners)
        for (std::size_t a = 0; a < corner.adjusters.size(); ++a) {
            const Adjuster& adjuster = corner.adjusters[a];
            const std::string key = adjuster_key(corner.id, adjuster.name);
            const std::string_view purpose = purpose_names[index(adjuster.purpose)];
            bool named = turn.empty() && by_default.contains({index(corner.id), adjuster.purpose});
            for (std::size_t t = 0; t < turn.size(); ++t)
                if (turn[t] == purpose || turn[t] == adjuster.name || turn[t] == key) named = found[t] = true;
            if (named) places.push_back({corner.id, a});
            for (const std::string& name : {adjuster.name, key})
                if (std::find(known.begin(), known.end(), name) == known.end()) known.push_back(name);
        }
    for (std::size_t t = 0; t < turn.size(); ++t) {
        if (found[t]) continue;
        const bool purpose = shimwise::named<Purpose>(purpose_names, turn[t]).has_value();
        problems.push_back({"", 0, 0, turn[t], "",
                            purpose
                                ? "is the purpose of no adjuster of this car"
                                : "is neither an adjuster of this car nor a purpose" + did_you_mean(turn[t], known)});
    }
    return places;
}

}  // namespace shimwise

// Which combination every corner gets: the search of each, and what the boxes that they share allow together.
#pragma once

#include "workshop/choose/shared_boxes.hpp"

namespace shimwise {

/// A corner's choice before it is told in full.
struct Pick {
    std::optional<Candidate> candidate;  // nothing: as it stands
    std::map<std::size_t, StackChoice> packs;
    Proof proof;
};
using PickOf = std::array<Pick, corner_count>;

/// What the search of all corners comes to.
struct Answers {
    PickOf nothing, closest, least;
    bool least_everywhere = true;
    std::vector<std::string> refusals, notes;
};

/// Searches every corner, then chooses group by group.
Answers answers_of(const Car& car, const CornerProblems& problems, const PlanOptions& options);

}  // namespace shimwise

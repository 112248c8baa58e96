// Which adjusters of the whole car a recipe may turn.
#pragma once

#include <string>
#include <vector>

#include "shimwise/error.hpp"
#include "shimwise/rest/values.hpp"
#include "shimwise/workshop/files/settings.hpp"

namespace shimwise {

/// As `CarRecipeAsk::turn` says. `outputs`: places in `rest_outputs` of what is aimed at or kept. Faults are added to
/// `problems`.
std::vector<AdjusterPlace> places_that_turn(const RestModel& model, const std::vector<std::string>& turn,
                                            const std::vector<std::size_t>& outputs, std::vector<Problem>& problems);

}  // namespace shimwise

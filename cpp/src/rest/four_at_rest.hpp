// Four states of a car at rest at once, where the search from the drawing leads straight there: no step is halved, no
// droop stop closes, no contact jumps, and all stand. Each has the bits that `rest` gives.
#pragma once

#include <array>
#include <memory>

#include "rest/kernel.hpp"
#include "shimwise/rest/solve.hpp"

namespace shimwise {

class FourAtRest {
public:
    FourAtRest();
    ~FourAtRest();

    /// Fills the values; gives by bits the states that `rest` must be asked for. Precondition: the models differ in
    /// settings, places and weights alone.
    unsigned at(const std::array<const RestModel*, 4>& models, const std::array<PadHeights, 4>& pads_mm,
                std::array<RestValues<double>, 4>& values);

private:
    struct Search;
    std::unique_ptr<Search> search_;
};

}  // namespace shimwise

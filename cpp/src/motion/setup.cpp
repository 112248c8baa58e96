#include "shimwise/motion/setup.hpp"

#include <stdexcept>
#include <string>

namespace shimwise {

Setup setup(const Corner& corner, double rack_mm) {
    if (corner.adjusters.size() > max_adjusters)  // a corner made by hand: no file can be so
        throw std::invalid_argument("a corner may have " + std::to_string(max_adjusters) + " adjusters");
    return {geometry(corner), corner.amounts_mm(), rack_mm};
}

}  // namespace shimwise

// Puts the corner's name before what could not be reached.
#pragma once

#include <string>

#include "shimwise/motion/unreached.hpp"

namespace shimwise {

template <class Work>
auto at_corner(CornerId id, const Work& work) {
    try {
        return work();
    } catch (const Unreached& failure) {
        Shortfall by = failure.shortfall;
        by.corner = id;
        throw Unreached(std::string(corner_names[index(id)]) + ": " + failure.what(), by);
    } catch (const OutOfReach& failure) {
        throw OutOfReach(std::string(corner_names[index(id)]) + ": " + failure.what());
    }
}

}  // namespace shimwise

// Puts the corner's name before what could not be reached.
#pragma once

#include <string>

#include "shimwise/error.hpp"
#include "shimwise/model/names.hpp"

namespace shimwise {

template <class Work>
auto at_corner(CornerId id, const Work& work) {
    try {
        return work();
    } catch (const OutOfReach& failure) {
        throw OutOfReach(std::string(corner_names[index(id)]) + ": " + failure.what());
    }
}

}  // namespace shimwise

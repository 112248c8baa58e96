// Whose corner could not be reached.
#pragma once

#include <string>

#include "shimwise/error.hpp"
#include "shimwise/model/corner.hpp"

namespace shimwise {

/// Puts the corner's name before what could not be reached.
template <class Work>
auto named(const Corner& corner, const Work& work) {
    try {
        return work();
    } catch (const OutOfReach& failure) {
        throw OutOfReach(std::string(corner_names[index(corner.id)]) + ": " + failure.what());
    }
}

}  // namespace shimwise

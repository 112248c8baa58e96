// The sheet read anew after the car has settled anew.
#pragma once

#include "files/table.hpp"
#include "shimwise/workshop/files/readings.hpp"

namespace shimwise {

/// [[again]]: the means over `readings` and all of them take the place of its values.
void read_again(files::Table& root, const Car& car, Readings& readings);

}  // namespace shimwise

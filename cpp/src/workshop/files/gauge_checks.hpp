// Checks of the camber gauge's zero in a readings file.
#pragma once

#include "files/table.hpp"
#include "shimwise/workshop/files/readings.hpp"

namespace shimwise {

/// [gauge_check], or [[gauge_check]] with times. The mean of all that was read each way round counts.
void read_gauge_checks(files::Table& root, Readings& readings);

}  // namespace shimwise

// Rows of sweeps of a whole car, from columns of numbers to columns of results.
#pragma once

#include "rows.hpp"

namespace bench {

std::vector<Row> swept_rows(const shimwise::Car& car);

}  // namespace bench

// A number as a sentence shows it.
#pragma once

#include <string>

namespace shimwise::files {

/// At most six significant digits, no trailing zeros.
std::string shown(double value);

}  // namespace shimwise::files

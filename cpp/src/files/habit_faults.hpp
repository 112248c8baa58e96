// What people write by habit where TOML does not take it: a decimal comma, ___ for what was not read.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "shimwise/error.hpp"

namespace shimwise::files {

/// Every such value of a text that is no TOML, in sentences of our own; none where line `fault_line` (from 1), which
/// its parser could not take, has no such value: then it is another fault.
std::vector<Problem> habit_faults(const std::string& path, std::string_view text, int fault_line);

}  // namespace shimwise::files

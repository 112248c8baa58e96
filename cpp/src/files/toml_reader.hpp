// TOML 1.0 into a tree of values with their places. It knows no key but `format`.
#pragma once

#include <string>
#include <string_view>

#include "files/value.hpp"

namespace shimwise::files {

/// Reads `path`, whose `format` must be "shimwise-<kind>/<1..newest>". Throws InputError for a file that cannot be
/// read, is not UTF-8, is not TOML, or is of another kind or a newer format.
Value read_toml(const std::string& path, std::string_view kind, int newest = 1);

}  // namespace shimwise::files

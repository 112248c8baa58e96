// TOML 1.0 into a tree of values with their places. It knows no key but `format`.
#pragma once

#include <string>
#include <string_view>

#include "files/value.hpp"
#include "shimwise/files/origin.hpp"

namespace shimwise::files {

struct Document {
    Value root;
    Origin origin;
};

/// Reads `path`, whose `format` must be "shimwise-<kind>/<1..newest>". Throws InputError for a file that cannot be
/// read, is not text, is not TOML, or is of another kind or a newer format.
Document read_toml(const std::string& path, std::string_view kind, int newest = 1);

}  // namespace shimwise::files

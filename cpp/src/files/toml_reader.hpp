// TOML 1.0 into a tree of values with their places. It knows no key but `format`.
#pragma once

#include <string>
#include <string_view>

#include "files/value.hpp"
#include "shimwise/files/origin.hpp"
#include "shimwise/files/source.hpp"

namespace shimwise::files {

struct Document {
    Value root;
    Origin origin;
};

/// Reads a file whose `format` must be "shimwise-<kind>/<1..newest>". Throws InputError for one that is not text, is
/// not TOML, or is of another kind or a newer format.
Document read_toml(const Source& source, std::string_view kind, int newest = 1);

}  // namespace shimwise::files

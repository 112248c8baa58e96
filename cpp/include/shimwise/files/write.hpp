// Writing a file in one go: without a name, or beside its place, until it is whole. No half file is ever found there.
#pragma once

#include <string>
#include <string_view>

namespace shimwise {

enum class Existing { refuse, replace };

/// Writes `contents` to `path`. Throws InputError where the file exists (unless it may be replaced) or cannot be
/// written.
void write_file(const std::string& path, std::string_view contents, Existing existing = Existing::refuse);

}  // namespace shimwise

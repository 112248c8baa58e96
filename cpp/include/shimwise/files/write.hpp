// Writing a new file: it gets its name when its contents are whole and on the disk. No half file is ever found there.
#pragma once

#include <string>
#include <string_view>

namespace shimwise {

/// Throws InputError where `write_new_file` could not: that name is taken, or there is no such folder. For those who
/// have much to do before.
void demand_new_file(const std::string& path);

/// Writes `contents` to `path`. Throws InputError where that name is taken, at whatever moment it came to be, or where
/// it cannot be written.
void write_new_file(const std::string& path, std::string_view contents);

}  // namespace shimwise

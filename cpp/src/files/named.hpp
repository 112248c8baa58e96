// How a file comes to its name: never in place of another one.
#pragma once

#include <string>
#include <string_view>

namespace shimwise {

enum class Named { yes, taken, no };

/// A new file that has no name before it is whole: nothing is left of it, whenever this process is killed. No where the
/// file system has no such files.
Named write_unnamed(const std::string& folder, const std::string& path, std::string_view contents);

/// Under a name beside its own until it is whole.
Named write_aside(const std::string& path, std::string_view contents);

}  // namespace shimwise

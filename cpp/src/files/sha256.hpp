// The digest by which a file is known again.
#pragma once

#include <string>
#include <string_view>

namespace shimwise::files {

/// SHA-256 (FIPS 180-4) in 64 hexadecimal digits.
std::string sha256(std::string_view bytes);

}  // namespace shimwise::files

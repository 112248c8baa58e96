// Which bytes an answer comes from: a file is read once, and known again by what was read.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace shimwise {

struct Origin {
    std::uint64_t digest = 0;  // first 64 bits of the bytes' SHA-256
    int invented_lines = 0;    // whose value still is said to be INVENTED, as a starter's are
};

Origin origin_of(std::string_view bytes);

/// The digest in 16 hexadecimal digits.
std::string digits(const Origin& origin);

}  // namespace shimwise

#include "files/shown.hpp"

#include <array>
#include <cstdio>

namespace shimwise::files {

std::string shown(double value) {
    std::array<char, 32> text{};
    std::snprintf(text.data(), text.size(), "%.6g", value);
    return text.data();
}

}  // namespace shimwise::files

#include "demo_path.hpp"

namespace shimwise::testing {

std::string demo_path(const std::string& name) {
    return std::string(SHIMWISE_SOURCE_DIR) + "/python/shimwise/data/" + name;
}

}  // namespace shimwise::testing

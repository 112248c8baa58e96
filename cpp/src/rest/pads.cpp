#include <cmath>

#include "files/shown.hpp"
#include "shimwise/error.hpp"
#include "shimwise/rest/solve.hpp"

namespace shimwise {

void check_pads(const PadHeights& pads_mm) {
    constexpr double far_mm = 1000.0;
    for (std::size_t c = 0; c < corner_count; ++c)
        if (!(std::fabs(pads_mm[c]) <= far_mm))
            throw InputError({{"", 0, 0, "pads_mm: " + std::string(corner_names[c]), files::shown(pads_mm[c]),
                               "goes beyond " + files::shown(far_mm) + " mm"}});
}

}  // namespace shimwise

// A corner of the whole car as set.
#pragma once

#include "shimwise/rest/riding.hpp"

namespace shimwise {

struct PlainCorner {
    const Riders* riders = nullptr;
    Linkage<double> linkage;
    RiderPlaces<double> places;
    double platform_mm = 0.0;
    double link_mm = 0.0;  // of the drop link
};

}  // namespace shimwise

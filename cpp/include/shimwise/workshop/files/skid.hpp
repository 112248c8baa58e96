// The thickness of a skid over the distance that it has run, as it was written down.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "shimwise/files/source.hpp"
#include "shimwise/model/car.hpp"

namespace shimwise {

/// A place where the thickness is read.
struct SkidPoint {
    std::string name;
    Vec3<double> at_mm;  // of a new skid's underside, chassis frame, as drawn
};

struct SkidCheck {
    double distance_km = 0.0;
    bool fresh = false;                            // the skid has been changed since the check before
    std::map<std::string, double> thickness_mm;    // by point; some of them
    std::map<std::string, double> ride_height_mm;  // by name, as the car runs from here on
};

struct Skid {
    std::string file;
    Origin origin;
    double new_mm = 25.0;                                                 // unless given: common practice, no source
    double least_mm = 20.0;                                               // likewise
    bool new_is_common_practice = true, least_is_common_practice = true;  // left out in the file
    double gauge_uncertainty_mm = 0.0;                                    // standard, of one reading
    std::vector<SkidPoint> points;
    std::vector<SkidCheck> checks;
};

/// Reads a skid file. A ride height that a check leaves out is as it was before. Throws InputError with every problem:
/// a thickness that grows by more than its uncertainty is one, unless `new` says that the skid was changed.
Skid skid_from(const Source& source);

/// The same for a car: names of ride heights, the place of each point and the thickness of a new skid are checked
/// against it, and where the file does not say how thick that is, the car does.
Skid skid_from(const Source& source, const Car& car);

inline Skid load_skid(const std::string& path) { return skid_from(read_source(path)); }

}  // namespace shimwise

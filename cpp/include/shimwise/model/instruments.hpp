// What reads the car and how far it can be trusted: standard uncertainties, resolutions as printed on the instrument.
#pragma once

#include <optional>
#include <string>

namespace shimwise {

struct FlagRuler {
    double resolution_mm = 0.0;
    double repeatability_mm = 0.0;
    double level_uncertainty_deg = 0.0;
};

struct CamberGauge {
    double resolution_deg = 0.0;
    double repeatability_deg = 0.0;
    double zero_error_deg = 0.0;
    double zero_uncertainty_deg = 0.0;
    std::string checked;  // ISO date; empty: not said
    std::optional<int> valid_days;
};

struct HeightGauge {
    double resolution_mm = 0.0;
    double repeatability_mm = 0.0;
};

struct Scale {
    double resolution_kg = 0.0;
    double repeatability_kg = 0.0;
    double zero_uncertainty_kg = 0.0;
    double span_uncertainty_percent = 0.0;
};

struct PadLevel {
    double resolution_mm = 0.0;
    double repeatability_mm = 0.0;
};

struct Instruments {
    FlagRuler flag_ruler;
    CamberGauge camber_gauge;
    HeightGauge height_gauge;
    Scale scale;
    PadLevel pad_level;
};

/// String lines: the bars that carry them, and how well their ends are placed.
struct Strings {
    double bars_apart_mm = 0.0;
    bool on_car = true;  // false: on stands
    double end_uncertainty_mm = 0.0;
};

/// Scatter of the car itself after bouncing and rolling it, one standard deviation.
struct Settling {
    double warp_kg = 0.0;
    double ride_height_mm = 0.0;
    double lateral_mm = 0.0;
    double toe_deg = 0.0;
    double camber_deg = 0.0;
};

/// How well the car is known beside its file and its settings, one standard deviation: a sheet that says more than that
/// contradicts it. Defaults are those of a car that was measured once with a tape. Common practice, no source.
struct Known {
    double toe_deg = 0.2, camber_deg = 0.2;  // of each wheel as it is set
    double places_mm = 2.0;                  // lateral of each wheel, and of each ride-height point
    double total_kg = 2.0;
    double total_at_mm = 10.0;                                    // x and y of the centre of gravity
    double rods_mm = 1.5, pushrods_mm = 3.0, platforms_mm = 2.0;  // where no length was read
};

}  // namespace shimwise

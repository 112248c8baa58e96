// The morning's readings in the instruments' own numbers, as written on the clipboard.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shimwise/files/source.hpp"
#include "shimwise/model/car.hpp"
#include "shimwise/workshop/files/pad_steps.hpp"

namespace shimwise {

/// One reading or two of it: the gauge as always held, or facing and turned.
struct Reversal {
    double facing = 0.0;
    std::optional<double> turned;
};

/// The camber gauge on one surface, both ways round.
struct GaugeCheck {
    std::string at;  // ISO date and time; empty where not said
    double zero_deg = 0.0;
};

struct Flags {
    double front_mm = 0.0;  // flag to string
    double rear_mm = 0.0;
};

struct CornerReadings {
    std::optional<Flags> flags_mm;
    std::optional<Reversal> camber_deg;
    std::optional<double> scale_kg;
    std::map<std::string, std::vector<double>> shims_mm;  // by adjuster name: what is fitted
    std::map<Length, double> lengths_mm;                  // eye to eye
};

/// Whether the bars held while the car was read.
enum class BarsWere { off, on };
inline constexpr std::array<std::string_view, 2> bars_were_names = {"off", "on"};

/// Which of several the sheet was read with; empty: the only one, or the usual one.
struct InstrumentNames {
    std::string strings, camber_gauge, scale;

    bool operator==(const InstrumentNames&) const = default;
};

struct Readings {
    std::string file;
    Origin origin;
    std::string text;  // as it was typed, in UTF-8
    std::string place, at, remarks;
    InstrumentNames instruments;
    std::map<std::string, double> ballast_kg;
    std::optional<BarsWere> bars;                                    // nothing: not said
    bool rack_locked = false;                                        // "locked at centre"
    bool struts_solid = false;                                       // "solid"
    bool heights_from_pads = true;                                   // otherwise from the plate
    std::optional<std::array<double, 2>> front_bar_mm, rear_bar_mm;  // left, right: string to the car's centre line
    std::optional<std::array<double, corner_count>> pad_height_mm;   // as read, or about their mean by the steps
    std::vector<PadStep> pad_steps;                                  // where the pads were read so
    std::vector<double> packing_mm;
    std::map<std::string, std::vector<double>> ride_heights_mm;  // by point, each read once or more
    std::optional<Reversal> gauge_check_deg;                     // of this morning's checks: the mean of each way round
    std::vector<GaugeCheck> gauge_checks;                        // one by one, in the order of their times
    std::optional<double> skid_mm;                               // its thickness now
    std::array<CornerReadings, corner_count> corners;
    /// What was read more than once, "front_left.flags.front" and so on: all of it. Above stands the mean.
    std::map<std::string, std::vector<double>> repeated;
    /// Of a sheet that was read anew after settling: by the same names, what was read each time, the sheet itself
    /// first; empty lists where a set does not have it. Above stands the mean of the sets' means.
    std::map<std::string, std::vector<std::vector<double>>> anew;

    /// In how many sets it was read.
    std::size_t sets(const std::string& reading) const;
    /// Of as many readings the hand averages out as in what stands above.
    double times(const std::string& reading) const;
};

/// Reads a readings file for `car`. Throws InputError with every problem of the file.
Readings readings_from(const Source& source, const Car& car);
inline Readings load_readings(const std::string& path, const Car& car) { return readings_from(read_source(path), car); }

}  // namespace shimwise

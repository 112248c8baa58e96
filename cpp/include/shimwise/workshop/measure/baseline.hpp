// A state of the car that was accepted: what was read, how it was set and loaded, why, and what it replaces.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

inline constexpr std::string_view baseline_format = "shimwise-baseline/1";

/// A value as it was accepted.
struct BaselineValue {
    std::string key, unit;
    double value = 0.0;
    double u = 0.0;     // standard uncertainty
    double anew = 0.0;  // the part of it that comes anew at the next reading
    bool derived = false;
};

struct Baseline {
    std::string file;
    Origin origin;
    std::string car, reason, place, at;
    std::string version;                       // of the library that wrote it
    std::string replaces;                      // digest of the baseline before it; empty: the first
    std::string car_digest, sheet_digest;      // of the car file, of the sheet's text
    std::string sheet_file, sheet;             // the sheet as it was typed
    InstrumentNames instruments;               // that it was read with
    std::map<std::string, double> ballast_kg;  // all of the car, by name
    std::optional<BarsWere> bars;              // nothing: the car has none
    bool rack_locked = false, struts_solid = false;
    std::optional<std::array<double, corner_count>> pads_mm;
    Settings settings;                                                   // all of the car, boxes too
    std::array<std::map<std::string, double>, corner_count> lengths_mm;  // eye to eye, by name
    std::vector<BaselineValue> values;
    Eigen::MatrixXd covariance;  // of those that are not derived, in their order
};

/// What `save_baseline` writes of a sheet of this car, as set when it was read (lengths and shims of the sheet win).
/// `replaces`: the digest of the baseline that this one takes the place of, or empty.
/// Throws InputError for an empty reason, where nothing follows from the sheet, or where a setting breaks a limit.
Baseline accepted(const Readings& readings, const Car& car, const std::string& reason, const std::string& replaces);

/// The file's text: TOML whose last table is the digest of all that stands above it.
std::string baseline_text(const Baseline& baseline);

/// Writes a new file. Throws InputError where it exists.
void save_baseline(const Baseline& baseline, const std::string& path);

/// Whether a file says that it is one, in whatever version.
bool is_baseline(const Source& source);

/// Reads a baseline alone, whatever its car. Throws InputError with every problem of the file; of one that was changed
/// after it was written that alone.
Baseline baseline_from(const Source& source);

/// Reads it for its car: its settings, lengths and values are the car's, its sheet is one of the car, and gives the
/// values that it says. Throws InputError with every problem, OutOfReach where the car cannot stand as it was read.
Baseline baseline_from(const Source& source, const Car& car);
inline Baseline load_baseline(const std::string& path, const Car& car) { return baseline_from(read_source(path), car); }

/// The car as it was set then, and its sheet. Precondition: a baseline of this car.
Car as_accepted(const Baseline& baseline, const Car& car);
Readings readings_of(const Baseline& baseline, const Car& car);

/// What has come between the baseline and this car: another car file, another version.
std::vector<std::string> baseline_notes(const Baseline& baseline, const Car& car);

}  // namespace shimwise

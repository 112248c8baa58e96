// The car: four corners and what they share. Read from a file by `load_car`; changed only by making a changed copy.
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "shimwise/files/origin.hpp"
#include "shimwise/model/corner.hpp"
#include "shimwise/model/instruments.hpp"

namespace shimwise {

struct Ballast {
    std::string name;
    Vec3<double> at_mm;
    double now_kg = 0.0;  // contained in the total
};

enum class HeightFrom { floor, skid };
inline constexpr std::array<std::string_view, 2> height_from_names = {"floor", "skid"};

struct RideHeightPoint {
    std::string name;
    Vec3<double> at_mm;
    HeightFrom from = HeightFrom::floor;
};

struct Rack {
    Vec3<double> direction;  // unit, to the left
    double least_mm = 0.0;
    double most_mm = 0.0;
    double mm_per_turn = 0.0;
};

/// Axis through the two bearings; arms are the drop links' ends on the bar.
struct Bar {
    std::array<Vec3<double>, 2> bearing;  // left, right
    std::array<Vec3<double>, 2> arm;
    double rate_Nm_per_deg = 0.0;
    std::map<std::string, double> blades_Nm_per_deg;
    std::string blade;  // the one in use; empty where only a rate is given
    bool connected = false;
};

/// A spring between the left and the right rocker.
struct Third {
    std::array<Vec3<double>, 2> at_mm;  // left, right, each fixed on its rocker
    double rate_N_per_mm = 0.0;
    double gap_mm = 0.0;
    bool carries_pull = false;
};

/// What four scales showed, and how the car was set then: whatever is turned later was not weighed.
struct Weighing {
    std::array<double, corner_count> kg{};
    std::array<std::vector<double>, corner_count> amounts_mm;  // of the corners' adjusters
    std::array<std::optional<Bar>, 2> bars;
};

/// Total mass with either its centre of gravity or four scale readings and a height.
struct Mass {
    double total_kg = 0.0;
    std::optional<Vec3<double>> cg_mm;
    std::optional<Weighing> weighing;
    double cg_height_mm = 0.0;  // with `weighing`, above the floor's reference plane
};

struct Car {
    std::string file;
    Origin origin;
    std::string name;
    std::array<Corner, corner_count> corners;
    std::optional<double> chassis_twist_Nm_per_deg;  // nothing: rigid
    Mass mass;
    std::vector<Ballast> ballast;
    std::vector<RideHeightPoint> ride_heights;  // left ones and their mirror images
    std::optional<double> skid_new_mm;          // thickness of a new skid: points "from" it are drawn under one
    std::string rake_front, rake_rear;          // names of ride-height points; empty: no rake
    std::optional<Rack> rack;
    std::array<std::optional<Bar>, 2> bars;  // front, rear
    std::array<std::optional<Third>, 2> thirds;
    std::map<std::string, std::vector<double>> boxes_mm;  // shims that corners share, not fitted
    Strings strings;
    Instruments instruments;
    Settling settling;
    Known known;

    const Corner& operator[](CornerId id) const { return corners[index(id)]; }
    Corner& operator[](CornerId id) { return corners[index(id)]; }
    /// Shims at hand for a stack, its own or the shared box.
    const std::vector<double>& box_mm(const Stack& stack) const;
};

/// These scale readings, of the car as it is set.
Weighing weighed(const Car& car, const std::array<double, corner_count>& kg);

}  // namespace shimwise

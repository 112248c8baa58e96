// What the corners of a car file share: masses, rack, bars, third elements, ride-height points, boxes of shims.
#pragma once

#include "files/table.hpp"
#include "model/corner_file.hpp"
#include "shimwise/model/car.hpp"

namespace shimwise {

Mass read_mass(files::Table& table);
std::vector<Ballast> read_ballast(files::Table& car);
std::optional<Rack> read_rack(files::Table table);
/// Boxes of shims by name; the table is [shims], each key "<name>_mm".
std::map<std::string, std::vector<double>> read_boxes(files::Table table);
/// The points of the file, and the mirror image of each "*_left" whose "*_right" is not given (or given in part).
std::vector<RideHeightPoint> read_ride_heights(files::Table table);
std::optional<Bar> read_bar(files::Table table);
std::optional<Third> read_third(files::Table table);

}  // namespace shimwise

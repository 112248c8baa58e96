// What a sheet, or a set of it that was read anew, takes of the instruments: flags, camber, scales, heights.
#pragma once

#include <string>
#include <string_view>

#include "files/table.hpp"
#include "shimwise/workshop/files/readings.hpp"

namespace shimwise {

void demand_instrument(files::Table& table, std::string_view key, double resolution, const std::string& name);
void read_ride_heights(files::Table table, const Car& car, Readings& readings);
void read_corner_instruments(files::Table& table, const Car& car, CornerId id, Readings& readings);
void demand_a_car_on_scales(files::Table& table, const Readings& readings);

}  // namespace shimwise

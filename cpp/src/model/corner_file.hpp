// One corner of a car file.
#pragma once

#include "files/table.hpp"
#include "shimwise/model/car.hpp"

namespace shimwise {

/// What an axle's corners take from the tables that both share.
struct AxleParts {
    SetupWheel wheel;
    std::optional<Tyre> tyre;
    double unsprung_kg = 0.0;
    std::optional<Vec3<double>> unsprung_cg_mm;  // of the left corner
};

/// Reads the corner `id`; `boxes` are the names under [shims].
Corner read_corner(files::Table table, CornerId id, const AxleParts& axle, const std::optional<Rack>& rack,
                   const std::vector<std::string>& boxes);

}  // namespace shimwise

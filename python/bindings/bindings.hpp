// One function per file of this folder; each declares what a room of the library offers and computes nothing.
#pragma once

#include <pybind11/pybind11.h>

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "shimwise/math/vec3.hpp"

namespace shimwise {

void bind_errors(pybind11::module_& module);
void bind_model(pybind11::module_& module);
void bind_values(pybind11::module_& module);
void bind_motion(pybind11::module_& module);
void bind_rest(pybind11::module_& module);
void bind_choose(pybind11::module_& module);
void bind_workshop(pybind11::module_& module);
void bind_recipes(pybind11::module_& module);

/// An enumeration whose Python names are the library's own list of names.
template <class Enum, std::size_t N>
void bind_names(pybind11::module_& module, const char* type, const std::array<std::string_view, N>& names) {
    pybind11::enum_<Enum> bound(module, type);
    for (std::size_t i = 0; i < N; ++i) bound.value(std::string(names[i]).c_str(), static_cast<Enum>(i));
}

/// A vector as Python's x, y, z.
using Xyz = std::array<double, 3>;
inline Xyz xyz(const Vec3<double>& v) { return {v.x, v.y, v.z}; }
inline std::optional<Xyz> xyz(const std::optional<Vec3<double>>& v) {
    return v ? std::optional(xyz(*v)) : std::nullopt;
}

}  // namespace shimwise

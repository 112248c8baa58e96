// One function per file of this folder; each declares what a room of the library offers and computes nothing.
#pragma once

#include <pybind11/pybind11.h>
#include <pybind11/typing.h>

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "shimwise/math/vec3.hpp"
#include "shimwise/model/names.hpp"

namespace shimwise {

void bind_errors(pybind11::module_& module);
void bind_interrupts(pybind11::module_& module);
void bind_math(pybind11::module_& module);
void bind_model(pybind11::module_& module);
void bind_values(pybind11::module_& module);
void bind_motion(pybind11::module_& module);
void bind_rest(pybind11::module_& module);
void bind_sweep(pybind11::module_& module);
void bind_words(pybind11::module_& module);
void bind_choose(pybind11::module_& module);
void bind_measured(pybind11::module_& module);
void bind_level(pybind11::module_& module);
void bind_plan(pybind11::module_& module);
void bind_skid(pybind11::module_& module);
void bind_baselines(pybind11::module_& module);
void bind_card(pybind11::module_& module);
void bind_workshop(pybind11::module_& module);
void bind_recipes(pybind11::module_& module);

/// An enumeration whose Python names are the library's own list of names.
template <class Enum, std::size_t N>
void bind_names(pybind11::module_& module, const char* type, const std::array<std::string_view, N>& names) {
    pybind11::enum_<Enum> bound(module, type);
    for (std::size_t i = 0; i < N; ++i) bound.value(std::string(names[i]).c_str(), static_cast<Enum>(i));
}

/// A list of names and values as a dictionary in the list's order.
template <class Value>
pybind11::typing::Dict<pybind11::str, Value> in_order(const std::vector<std::pair<std::string, Value>>& list) {
    pybind11::typing::Dict<pybind11::str, Value> dict;
    for (const auto& [name, value] : list) dict[pybind11::str(name)] = pybind11::cast(value);
    return dict;
}

/// Of each corner, with its name.
template <class Value>
std::vector<std::pair<std::string, Value>> by_corner(const std::array<Value, corner_count>& corners) {
    std::vector<std::pair<std::string, Value>> named;
    for (std::size_t c = 0; c < corner_count; ++c) named.emplace_back(corner_names[c], corners[c]);
    return named;
}

/// A vector as Python's x, y, z.
using Xyz = std::array<double, 3>;
inline Xyz xyz(const Vec3<double>& v) { return {v.x, v.y, v.z}; }
inline std::optional<Xyz> xyz(const std::optional<Vec3<double>>& v) {
    return v ? std::optional(xyz(*v)) : std::nullopt;
}
inline std::optional<Vec3<double>> vector(const std::optional<Xyz>& v) {
    return v ? std::optional(Vec3<double>{(*v)[0], (*v)[1], (*v)[2]}) : std::nullopt;
}

}  // namespace shimwise

// A plain struct of the library as a Python class that can be pickled and copied: its state is its bytes.
#pragma once

#include <pybind11/pybind11.h>
#include <pybind11/typing.h>

#include <string_view>
#include <utility>

#include "shimwise/files/bytes.hpp"

namespace shimwise {

/// What a pickle holds: the version that wrote it, and the bytes.
using State = pybind11::typing::Tuple<pybind11::str, pybind11::bytes>;
State state_of(std::string_view bytes);
/// The bytes of such a state. Throws InputError where another version wrote it.
std::string bytes_in(const State& state);

template <class T, class... Extra>
pybind11::class_<T> value_class(pybind11::module_& module, Extra&&... extra) {
    return pybind11::class_<T>(module, std::forward<Extra>(extra)...)
        .def(pybind11::pickle([](const T& value) { return state_of(bytes_of(value)); },
                              [](const State& state) { return from_bytes<T>(bytes_in(state)); }));
}

}  // namespace shimwise

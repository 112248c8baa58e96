// One function per file of this folder; each declares what a room of the library offers and computes nothing.
#pragma once

#include <pybind11/pybind11.h>

namespace shimwise {

void bind_errors(pybind11::module_& module);

}  // namespace shimwise

#include <pybind11/eigen.h>

#include "bindings.hpp"
#include "shimwise/math/box_probability.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {

void bind_math(py::module_& module) {
    value_class<BoxProbability>(module, "BoxProbability", "A probability and a bound of its numerical error.")
        .def_readonly("value", &BoxProbability::value)
        .def_readonly("error", &BoxProbability::error);
    module.def("probability_in_box", &probability_in_box, py::arg("mean"), py::arg("covariance"), py::arg("lower"),
               py::arg("upper"), py::arg("accuracy"),
               "Probability that normal values lie within limits, all at the same time. Raises ValueError.");
}

}  // namespace shimwise

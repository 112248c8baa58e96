#include <pybind11/eigen.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/choose/explained.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

void bind_compared(py::module_& module) {
    value_class<Difference>(module, "Difference", "A value that both sheets have, and by how much it differs.")
        .def_property_readonly("key", [](const Difference& of) { return key(of.id); })
        .def_property_readonly("unit", [](const Difference& of) { return info(of.id).unit; })
        .def_readonly("derived", &Difference::derived)
        .def_readonly("was", &Difference::was)
        .def_readonly("is_now", &Difference::is)
        .def_readonly("by", &Difference::by)
        .def_readonly("uncertainty", &Difference::u)
        .def_readonly("changed", &Difference::changed)
        .def_readonly("tolerance", &Difference::tolerance)
        .def_readonly("within", &Difference::within);
    value_class<Differences>(module, "Differences", "What has changed from one sheet to another.")
        .def_readonly("values", &Differences::values)
        .def_readonly("covariance", &Differences::covariance)
        .def_property_readonly("only_old", [](const Differences& all) { return keys(all.only_old); })
        .def_property_readonly("only_new", [](const Differences& all) { return keys(all.only_new); })
        .def_readonly("shared", &Differences::shared)
        .def_readonly("apart", &Differences::apart);
    module.def("differences", &differences, py::arg("old"), py::arg("new"),
               "Of all values that both sheets have; what both share cancels.");
    value_class<Cause>(module, "Cause", "What one cause makes of every difference, by the model.")
        .def_property_readonly("kind", [](const Cause& of) { return cause_names[index(of.kind)]; })
        .def_readonly("name", &Cause::name)
        .def_readonly("words", &Cause::words)
        .def_readonly("by", &Cause::by);
    value_class<Left>(module, "Left", "What of a difference no cause explains.")
        .def_readonly("by", &Left::by)
        .def_readonly("uncertainty", &Left::u)
        .def_readonly("unexplained", &Left::unexplained)
        .def_readonly("by_model", &Left::by_model);
    value_class<Explained>(module, "Explained", "Why a car reads otherwise than before.")
        .def_readonly("differences", &Explained::differences)
        .def_readonly("causes", &Explained::causes)
        .def_readonly("turned", &Explained::turned)
        .def_readonly("left", &Explained::left)
        .def_readonly("left_covariance", &Explained::left_covariance)
        .def_readonly("chi_square", &Explained::chi_square)
        .def_readonly("degrees", &Explained::degrees)
        .def_readonly("p", &Explained::p)
        .def_property_readonly("held", [](const Explained& all) { return car_held_names[index(all.held)]; })
        .def_readonly("notes", &Explained::notes);
    module.def("explain", &explain, py::arg("old"), py::arg("was"), py::arg("new"), py::arg("now"),
               "Both cars with the settings of their sheets. Raises OutOfReach.");
}

}  // namespace

void bind_baselines(py::module_& module) { bind_compared(module); }

}  // namespace shimwise

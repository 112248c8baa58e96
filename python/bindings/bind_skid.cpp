#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/measure/skid_targets.hpp"
#include "shimwise/workshop/measure/wear.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

void bind_file(py::module_& module) {
    value_class<SkidCheck>(module, "SkidCheck", "The thickness of a skid at one distance, as it was read.")
        .def_readonly("distance_km", &SkidCheck::distance_km)
        .def_readonly("new", &SkidCheck::fresh)
        .def_readonly("thickness_mm", &SkidCheck::thickness_mm)
        .def_readonly("ride_height_mm", &SkidCheck::ride_height_mm);
    value_class<Skid>(module, "Skid", "The thickness of a skid over the distance that it has run.")
        .def_readonly("file", &Skid::file)
        .def_readonly("new_mm", &Skid::new_mm)
        .def_readonly("least_mm", &Skid::least_mm)
        .def_readonly("new_is_common_practice", &Skid::new_is_common_practice)
        .def_readonly("least_is_common_practice", &Skid::least_is_common_practice)
        .def_readonly("gauge_uncertainty_mm", &Skid::gauge_uncertainty_mm)
        .def_readonly("checks", &Skid::checks);
    module.def("skid_from", py::overload_cast<const Source&>(&skid_from), py::arg("source"));
    module.def("skid_from", py::overload_cast<const Source&, const Car&>(&skid_from), py::arg("source"),
               py::arg("car"));
}

void bind_outlook(py::module_& module) {
    value_class<Scatter>(module, "Scatter", "How one observation scatters; known beforehand where degrees is 0.")
        .def_readonly("standard", &Scatter::standard)
        .def_readonly("degrees", &Scatter::degrees);
    value_class<Estimate>(module, "Estimate", "A value, its standard uncertainty and the interval that holds 95 %.")
        .def_readonly("value", &Estimate::value)
        .def_readonly("uncertainty", &Estimate::u)
        .def_readonly("low", &Estimate::low)
        .def_readonly("high", &Estimate::high);
    value_class<Reached>(module, "Reached",
                         "A place by inverse prediction, and its interval of 95 %; None: no such end.")
        .def_readonly("value", &Reached::value)
        .def_readonly("low", &Reached::low)
        .def_readonly("high", &Reached::high);
    value_class<Outlook>(module, "Outlook", "What a line through thicknesses says at one ride height.")
        .def_readonly("wear_mm_per_100_km", &Outlook::wear_mm_per_100_km)
        .def_readonly("after_next_mm", &Outlook::after_next_mm)
        .def_readonly("chance_under", &Outlook::chance_under)
        .def_readonly("left_km", &Outlook::left_km);
}

void bind_wear(py::module_& module) {
    value_class<WearByHeight>(module, "WearByHeight", "Thickness over distance and one ride height.")
        .def_readonly("height", &WearByHeight::height)
        .def_readonly("now_mm", &WearByHeight::now_mm)
        .def_readonly("lowest_mm", &WearByHeight::lowest_mm)
        .def_readonly("highest_mm", &WearByHeight::highest_mm)
        .def_readonly("outlook", &WearByHeight::outlook)
        .def_readonly("less_mm_per_100_km", &WearByHeight::less_mm_per_100_km)
        .def_readonly("lasts_mm", &WearByHeight::lasts_mm);
    value_class<PointWear>(module, "PointWear", "How fast a skid wears at one point.")
        .def_readonly("point", &PointWear::point)
        .def_readonly("checks", &PointWear::checks)
        .def_readonly("runs", &PointWear::runs)
        .def_readonly("last_mm", &PointWear::last_mm)
        .def_readonly("worn_mm", &PointWear::worn_mm)
        .def_readonly("refused", &PointWear::refused)
        .def_readonly("scatter", &PointWear::scatter)
        .def_readonly("outlook", &PointWear::outlook)
        .def_readonly("by_height", &PointWear::by_height)
        .def_readonly("gap_mm", &PointWear::gap_mm)
        .def_readonly("gap_at_least_mm", &PointWear::gap_at_least_mm);
    value_class<Wear>(module, "Wear", "How fast a skid wears.")
        .def_readonly("now_km", &Wear::now_km)
        .def_readonly("next_km", &Wear::next_km)
        .def_readonly("points", &Wear::points)
        .def_readonly("notes", &Wear::notes);
    value_class<WearAsked>(module, "WearAsked", "How far the next run goes, and how far the skid is to last.")
        .def(py::init<>())
        .def_readwrite("next_km", &WearAsked::next_km)
        .def_readwrite("lasts_km", &WearAsked::lasts_km)
        .def_readwrite("gauge_alone", &WearAsked::gauge_alone);
    module.def("wear", py::overload_cast<const Skid&, const WearAsked&>(&wear), py::arg("skid"), py::arg("asked"),
               "Raises InputError where no point has a rate.");
    module.def("wear", py::overload_cast<const Skid&, const WearAsked&, const Car&>(&wear), py::arg("skid"),
               py::arg("asked"), py::arg("car"));
    module.def("targets_that_last", &targets_that_last, py::arg("skid"), py::arg("asked"), py::arg("measured"),
               py::arg("car"), "Raises InputError where a point tells no height that lasts so far.");
}

}  // namespace

void bind_skid(py::module_& module) {
    bind_file(module);
    bind_outlook(module);
    bind_wear(module);
}

}  // namespace shimwise

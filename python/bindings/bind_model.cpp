#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/model/moved_points.hpp"

namespace py = pybind11;

namespace shimwise {

void bind_model(py::module_& module) {
    bind_names<CornerId>(module, "CornerId", corner_names);
    bind_names<Purpose>(module, "Purpose", purpose_names);
    bind_names<Ends>(module, "Ends", ends_names);

    py::class_<Thread>(module, "Thread", "A threaded rod or platform; settings in turns from the drawn length.")
        .def_readonly("designation", &Thread::designation)
        .def_readonly("pitch_mm", &Thread::pitch_mm)
        .def_readonly("ends", &Thread::ends)
        .def_readonly("lock_turns", &Thread::lock_turns)
        .def_readonly("step_turns", &Thread::step_turns)
        .def_readonly("now_turns", &Thread::now_turns)
        .def_readonly("settable_turns", &Thread::settable_turns)
        .def_property_readonly("lead_mm", &Thread::lead_mm);
    py::class_<Stack>(module, "Stack", "A pack of shims; settings are its total thickness in mm.")
        .def_readonly("drawn_with_mm", &Stack::drawn_with_mm)
        .def_readonly("fitted_mm", &Stack::fitted_mm)
        .def_readonly("box", &Stack::box)
        .def_readonly("thickness_uncertainty_mm", &Stack::thickness_uncertainty_mm)
        .def_property_readonly("total_mm", &Stack::total_mm);
    py::class_<Adjuster>(module, "Adjuster", "What one mm of it changes, how far it can be set, what it is for.")
        .def_readonly("name", &Adjuster::name)
        .def_readonly("purpose", &Adjuster::purpose)
        .def_readonly("minutes", &Adjuster::minutes)
        .def_readonly("setting", &Adjuster::setting)
        .def_property_readonly("amount_mm", &Adjuster::amount_mm);
    py::class_<Corner>(module, "Corner", "One corner as drawn and as set.")
        .def_readonly("id", &Corner::id)
        .def_property_readonly("point_names", &Corner::point_names)
        .def_readonly("adjusters", &Corner::adjusters);
    py::class_<Car>(module, "Car", "A car, read from a file; changed only by making a changed copy.")
        .def_readonly("file", &Car::file)
        .def_readonly("name", &Car::name)
        .def_readonly("boxes_mm", &Car::boxes_mm)
        .def("corner", py::overload_cast<CornerId>(&Car::operator[], py::const_), py::arg("id"),
             py::return_value_policy::reference_internal);
    bind_names<Moved>(module, "Moved", moved_names);
    module.def("point_names", [] { return point_names; }, "Names of all points, in order.");
    module.def("with_points_moved",
               py::overload_cast<Car, const std::map<std::string, std::array<double, 3>>&, Moved>(&with_points_moved),
               py::arg("car"), py::arg("by_mm"), py::arg("moved"),
               "The car with points moved by (x, y, z), by \"corner.point\". Raises InputError.");
    module.def("load_car", &load_car, py::arg("path"),
               "Reads a car file and checks its physical sense. Raises InputError with every problem of the file.");
}

}  // namespace shimwise

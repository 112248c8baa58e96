// The benchmark's rows for bench.py, so that a peer written in Python is timed beside them in one process.
#include <pybind11/eigen.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include "integers.hpp"
#include "rows.hpp"
#include "shimwise/model/car_file.hpp"

namespace py = pybind11;

PYBIND11_MODULE(shimwise_bench_module, module) {
    py::class_<bench::Row>(module, "Row")
        .def_readonly("name", &bench::Row::name)
        .def("microseconds", &bench::microseconds_a_state, py::arg("states"));
    py::class_<bench::Accuracy>(module, "Accuracy")
        .def_readonly("name", &bench::Accuracy::name)
        .def_readonly("residual_mm", &bench::Accuracy::residual_mm)
        .def_readonly("angle_deg", &bench::Accuracy::angle_deg)
        .def_readonly("rate", &bench::Accuracy::rate);
    py::class_<bench::Expected>(module, "Expected")
        .def_readonly("contact_height_mm", &bench::Expected::contact_height_mm)
        .def_readonly("toe_deg", &bench::Expected::toe_deg)
        .def_readonly("camber_deg", &bench::Expected::camber_deg)
        .def_readonly("toe_deg_per_mm", &bench::Expected::toe_deg_per_mm)
        .def_readonly("camber_deg_per_mm", &bench::Expected::camber_deg_per_mm);
    py::class_<bench::IntegerProblem>(module, "IntegerProblem")
        .def_readonly("A", &bench::IntegerProblem::A)
        .def_readonly("b", &bench::IntegerProblem::b)
        .def_readonly("allowed", &bench::IntegerProblem::allowed);
    py::class_<bench::IntegerKind>(module, "IntegerKind")
        .def_readonly("name", &bench::IntegerKind::name)
        .def_readonly("what", &bench::IntegerKind::what)
        .def_readonly("problems", &bench::IntegerKind::problems);
    module.def("integer_kinds", &bench::integer_kinds);
    module.def("rows", [](const std::string& path) { return bench::rows(shimwise::load_car(path)); });
    module.def("expected", [](const std::string& path) { return bench::expected(shimwise::load_car(path)); });
    module.def("accuracies", [](const std::string& path) { return bench::accuracies(shimwise::load_car(path)); });
}

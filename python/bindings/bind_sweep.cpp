#include <pybind11/functional.h>
#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/rest/sweep.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

using Values = py::array_t<double, 0>;  // of any strides: a grid is no larger than its axes
using Numbers = py::array_t<double, py::array::c_style>;
using Codes = py::array_t<signed char, py::array::c_style>;

SweptColumn column(SweptInput input, bool change, const Values& values) {
    SweptColumn made = {std::move(input), change, values.data(), {}};
    for (py::ssize_t d = 0; d < values.ndim(); ++d)
        made.steps.push_back(values.strides(d) / static_cast<py::ssize_t>(sizeof(double)));
    return made;
}

/// Lets Python see Ctrl-C, then tells how far the work is.
void watched(const py::object& progress, std::size_t done) {
    const py::gil_scoped_acquire held;
    if (PyErr_CheckSignals() != 0) throw py::error_already_set();
    if (!progress.is_none()) progress(done);
}

void sweep_into(const Car& car, SweepHold hold, Moved moved, const std::vector<SweptInput>& inputs,
                const std::vector<bool>& changes, const std::vector<Values>& values,
                const std::vector<SweptOutput>& outputs, const std::vector<std::size_t>& shape,
                const std::array<std::size_t, 2>& part, Numbers numbers, Codes codes, Numbers short_by,
                std::size_t threads, const py::object& progress) {
    CarSweep what = {car, hold, moved, {}, outputs, shape};
    for (std::size_t i = 0; i < inputs.size(); ++i)
        what.columns.push_back(column(inputs[i], changes.at(i), values.at(i)));
    SweepResults results;
    for (std::size_t o = 0; o < outputs.size(); ++o)
        results.outputs.push_back(numbers.mutable_data(static_cast<py::ssize_t>(o), 0));
    results.status = codes.mutable_data(0, 0);
    results.corner = codes.mutable_data(1, 0);
    results.short_by_mm = short_by.mutable_data(0, 0);
    results.short_by_N = short_by.mutable_data(1, 0);
    const py::gil_scoped_release released;  // the arrays are held by the arguments
    sweep(what, {part[0], part[1]}, results, threads, [&](std::size_t done) { watched(progress, done); });
}

}  // namespace

void bind_sweep(py::module_& module) {
    bind_names<SweepHold>(module, "SweepHold", sweep_hold_names);
    module.def("obstacle_names", [] { return obstacle_names; }, "What may stand in the way of a state, by its status.");
    value_class<SweptInput>(module, "SweptInput", "Something that a sweep may set.")
        .def_readonly("key", &SweptInput::key)
        .def_readonly("unit", &SweptInput::unit)
        .def_readonly("long_name", &SweptInput::long_name)
        .def_readonly("corner", &SweptInput::corner)
        .def_readonly("index", &SweptInput::index)
        .def_readonly("now", &SweptInput::now)
        .def_property_readonly("adjuster", [](const SweptInput& i) { return i.of == SweptInput::Of::adjuster; })
        .def_property_readonly("point", [](const SweptInput& i) { return i.of == SweptInput::Of::point; });
    value_class<SweptOutput>(module, "SweptOutput", "A value that a sweep gives.")
        .def_readonly("key", &SweptOutput::key)
        .def_readonly("column", &SweptOutput::column)
        .def_readonly("unit", &SweptOutput::unit)
        .def_readonly("sign", &SweptOutput::sign)
        .def_readonly("missing", &SweptOutput::missing);
    module.def("sweep_inputs", &sweep_inputs, py::arg("car"), py::arg("hold"), py::arg("moved"),
               "All that a sweep may set, in order.");
    module.def("sweep_outputs", &sweep_outputs, py::arg("car"), py::arg("hold"),
               "All that a sweep gives, in order. Raises OutOfReach.");
    module.def("demand_settable", &demand_settable, py::arg("car"), py::arg("input"), py::arg("hold"), py::arg("value"),
               py::arg("change"), "Raises InputError where an input cannot be set so.");
    module.def("sweep", &sweep_into, py::arg("car"), py::arg("hold"), py::arg("moved"), py::arg("inputs"),
               py::arg("changes"), py::arg("values").noconvert(), py::arg("outputs"), py::arg("shape"), py::arg("part"),
               py::arg("numbers").noconvert(), py::arg("codes").noconvert(), py::arg("short_by").noconvert(),
               py::arg("threads"), py::arg("progress"),
               "States part[0] up to part[1] of the shape that all values have, into the caller's memory: numbers "
               "(outputs, states), codes (status and corner, states), short_by (mm and N, states). Sees Ctrl-C within "
               "50 ms and calls progress(states done) as often.");
}

}  // namespace shimwise

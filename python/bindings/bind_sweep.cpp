#include <pybind11/functional.h>
#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/math/sampling.hpp"
#include "shimwise/math/sobol.hpp"
#include "shimwise/workshop/files/sweep_file.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

using Values = py::array_t<double, 0>;  // of any strides: a grid is no larger than its axes
using Numbers = py::array_t<double, py::array::c_style>;
using Codes = py::array_t<signed char, py::array::c_style>;

SweptNumbers numbers_of(const Values& values) {
    SweptNumbers numbers = {values.data(), {}};
    for (py::ssize_t d = 0; d < values.ndim(); ++d)
        numbers.steps.push_back(values.strides(d) / static_cast<py::ssize_t>(sizeof(double)));
    return numbers;
}

template <class Value>
py::array_t<Value> as_array(const std::vector<Value>& values) {
    return py::array_t<Value>(static_cast<py::ssize_t>(values.size()), values.data());
}

std::span<const double> all_of(const Numbers& a) { return {a.data(), static_cast<std::size_t>(a.size())}; }

/// Lets Python see Ctrl-C, then tells how far the work is.
void watched(const py::object& progress, std::size_t done) {
    const py::gil_scoped_acquire held;
    if (PyErr_CheckSignals() != 0) throw py::error_already_set();
    if (!progress.is_none()) progress(done);
}

void sweep_into(const Car& car, SweepHold hold, Moved moved, const std::vector<SweptInput>& inputs,
                const std::vector<bool>& changes, const std::vector<Values>& values,
                const std::optional<Values>& missing_mm, const std::vector<SweptOutput>& outputs,
                const std::vector<std::size_t>& shape, const std::array<std::size_t, 2>& part, Numbers numbers,
                Codes codes, Numbers short_by, std::size_t threads, const py::object& progress) {
    CarSweep what = {car, hold, moved, {}, outputs, shape};
    for (std::size_t i = 0; i < inputs.size(); ++i)
        what.columns.push_back({inputs[i], changes.at(i), numbers_of(values.at(i))});
    if (missing_mm) what.missing_mm = numbers_of(*missing_mm);
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
    module.def(
        "sweep_mask_names", [] { return sweep_mask_names; },
        "What a table of states calls status, corner and the amounts by which they fall short.");
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
        .def_readonly("missing", &SweptOutput::missing)
        .def_property_readonly("names", &names_of);
    bind_names<Sampling>(module, "Sampling", sampling_names);
    module.def(
        "drawn_between",
        [](Sampling how, std::size_t count, std::uint64_t seed, const std::string& name, double low, double high) {
            return as_array(drawn_between(how, count, seed, name, low, high));
        },
        py::arg("how"), py::arg("count"), py::arg("seed"), py::arg("name"), py::arg("low"), py::arg("high"),
        "Numbers drawn between two ends, by a seed and a name.");
    module.def(
        "drawn_among",
        [](Sampling how, std::size_t count, std::uint64_t seed, const std::string& name, std::size_t options) {
            return as_array(drawn_among(how, count, seed, name, options));
        },
        py::arg("how"), py::arg("count"), py::arg("seed"), py::arg("name"), py::arg("options"),
        "Places drawn among so many options, by a seed and a name.");
    value_class<VarianceShare>(module, "VarianceShare", "A share of the variance with its standard uncertainty.")
        .def_readonly("share", &VarianceShare::share)
        .def_readonly("uncertainty", &VarianceShare::uncertainty);
    value_class<SobolIndices>(module, "SobolIndices", "How much of the variance an input brings.")
        .def_readonly("first", &SobolIndices::first)
        .def_readonly("total", &SobolIndices::total)
        .def_readonly("rows", &SobolIndices::rows);
    module.def(
        "sobol_indices",
        [](const Numbers& a, const Numbers& b, const Numbers& ab) {
            return sobol_indices(all_of(a), all_of(b), all_of(ab));
        },
        py::arg("a"), py::arg("b"), py::arg("ab"),
        "Sobol's indices of an input: outputs at two samples, and at the first with this input of the second.");
    value_class<SweepFileInput>(module, "SweepFileInput", "An input of a sweep as a file asks for it.")
        .def_readonly("name", &SweepFileInput::name)
        .def_readonly("values", &SweepFileInput::values)
        .def_readonly("single", &SweepFileInput::single)
        .def_readonly("among", &SweepFileInput::among)
        .def_readonly("between", &SweepFileInput::between)
        .def_readonly("change", &SweepFileInput::change)
        .def_readonly("along", &SweepFileInput::along);
    value_class<SweepPoints>(module, "SweepPoints", "Points that are drawn, each within so many mm either way.")
        .def_readonly("within_mm", &SweepPoints::within_mm)
        .def_readonly("of", &SweepPoints::of);
    value_class<SweepFile>(module, "SweepFile", "A sweep as a file asks for it.")
        .def_readonly("file", &SweepFile::file)
        .def_property_readonly("hold", [](const SweepFile& f) { return sweep_hold_names[index(f.hold)]; })
        .def_property_readonly(
            "moved",
            [](const SweepFile& f) { return f.moved ? std::optional(moved_names[index(*f.moved)]) : std::nullopt; })
        .def_readonly("outputs", &SweepFile::outputs)
        .def_readonly("at_hand", &SweepFile::at_hand)
        .def_readonly("sample", &SweepFile::sample)
        .def_property_readonly("by", [](const SweepFile& f) { return sampling_names[index(f.by)]; })
        .def_readonly("seed", &SweepFile::seed)
        .def_readonly("inputs", &SweepFile::inputs)
        .def_readonly("points", &SweepFile::points);
    module.def("sweep_file_from", &sweep_file_from, py::arg("source"), py::arg("car"),
               "Reads a sweep of a car. Raises InputError.");
    module.def("sweep_inputs", &sweep_inputs, py::arg("car"), py::arg("hold"), py::arg("moved"),
               "All that a sweep may set, in order.");
    module.def("sweep_outputs", &sweep_outputs, py::arg("car"), py::arg("hold"),
               "All that a sweep gives, in order. Raises OutOfReach.");
    module.def("holds_with", &holds_with, py::arg("car"), py::arg("name"),
               "With what held an output of that name is given.");
    module.def("demand_settable", &demand_settable, py::arg("car"), py::arg("input"), py::arg("hold"), py::arg("value"),
               py::arg("change"), "Raises InputError where an input cannot be set so.");
    module.def("sweep", &sweep_into, py::arg("car"), py::arg("hold"), py::arg("moved"), py::arg("inputs"),
               py::arg("changes"), py::arg("values").noconvert(), py::arg("missing_mm").noconvert(), py::arg("outputs"),
               py::arg("shape"), py::arg("part"), py::arg("numbers").noconvert(), py::arg("codes").noconvert(),
               py::arg("short_by").noconvert(), py::arg("threads"), py::arg("progress"),
               "States part[0] up to part[1] of the shape that all values have, and missing_mm of shims where it is "
               "given, into the caller's memory: numbers "
               "(outputs, states), codes (status and corner, states), short_by (mm and N, states). Sees Ctrl-C within "
               "50 ms and calls progress(states done) as often.");
}

}  // namespace shimwise

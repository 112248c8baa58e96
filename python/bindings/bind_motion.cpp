#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/motion/sweep.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

using Array = py::array_t<double, py::array::c_style | py::array::forcecast>;

std::span<const double> view(const Array& a) { return {a.data(), static_cast<std::size_t>(a.size())}; }

py::array_t<double> alignment_block(const Corner& corner, const Array& travel_mm, const Array& rack_mm) {
    py::array_t<double> block({static_cast<py::ssize_t>(output_count), travel_mm.size()});
    double* out = block.mutable_data();
    const py::gil_scoped_release released;  // the arrays are held by the arguments
    alignment(corner, view(travel_mm), view(rack_mm), out);
    return block;
}

py::array_t<double> joints_block(const Corner& corner, const Array& travel_mm, const Array& rack_mm) {
    py::array_t<double> block({static_cast<py::ssize_t>(point_count), travel_mm.size(), py::ssize_t{3}});
    double* out = block.mutable_data();
    const py::gil_scoped_release released;
    joints(corner, view(travel_mm), view(rack_mm), out);
    return block;
}

}  // namespace

void bind_motion(py::module_& module) {
    bind_names<Held>(module, "Held", held_names);
    module.def("point_names", [] { return point_names; }, "Names of all points, in order.");

    py::enum_<Output> outputs(module, "Output");
    for (std::size_t o = 0; o < output_count; ++o)
        outputs.value(std::string(output_list[o].name).c_str(), static_cast<Output>(o));

    py::enum_<Per>(module, "Per")
        .value("turn", Per::turn)
        .value("mm", Per::mm)
        .value("step_up", Per::step_up)
        .value("step_down", Per::step_down);

    py::class_<OutputInfo>(module, "OutputInfo", "Name, unit and sign of an output.")
        .def_readonly("name", &OutputInfo::name)
        .def_readonly("unit", &OutputInfo::unit)
        .def_readonly("sign", &OutputInfo::sign)
        .def_readonly("depends_on_frame", &OutputInfo::depends_on_frame);
    module.def("output_list", [] { return output_list; }, "Every output, in order.");
    module.def("column_names", &column_names, "Names of all outputs with their units, in order.");

    py::class_<EffectRow>(module, "EffectRow", "One row of an effect table: the change of every output.")
        .def_readonly("adjuster", &EffectRow::adjuster)
        .def_readonly("per", &EffectRow::per)
        .def_readonly("amount_mm", &EffectRow::amount_mm)
        .def_readonly("change", &EffectRow::change);
    py::class_<EffectTable>(module, "EffectTable", "Every adjuster of a corner against every output.")
        .def_readonly("held_value", &EffectTable::held_value)
        .def_readonly("values", &EffectTable::values)
        .def_readonly("rows", &EffectTable::rows);

    module.def("alignment", &alignment_block, py::arg("corner"), py::arg("travel_mm"), py::arg("rack_mm"),
               "All outputs over states of equal count: shape (outputs, states). Raises OutOfReach.");
    module.def("joints", &joints_block, py::arg("corner"), py::arg("travel_mm"), py::arg("rack_mm"),
               "Places of all points over states: shape (points, states, 3), mm, chassis frame. Raises OutOfReach.");
    module.def(
        "effects",
        [](const Car& car, CornerId corner, Held hold, double travel_mm, double rack_mm) {
            return effects(car, corner, hold, travel_mm, rack_mm);
        },
        py::arg("car"), py::arg("corner"), py::arg("hold"), py::arg("travel_mm"), py::arg("rack_mm"),
        "Effect table of a corner, chassis frame. Raises OutOfReach.");
    module.def("row_name", &row_name, py::arg("adjuster"), py::arg("per"), "What a row is about, in words.");
}

}  // namespace shimwise

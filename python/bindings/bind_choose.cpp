#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/choose/effect_table.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {

void bind_choose(py::module_& module) {
    py::enum_<Per>(module, "Per")
        .value("turn", Per::turn)
        .value("flat", Per::flat)
        .value("mm", Per::mm)
        .value("step_up", Per::step_up)
        .value("step_down", Per::step_down)
        .value("kg", Per::kg);

    value_class<EffectRow>(module, "EffectRow", "One row of an effect table: the change of every output or value.")
        .def_readonly("variable", &EffectRow::variable)
        .def_readonly("per", &EffectRow::per)
        .def_readonly("amount", &EffectRow::amount)
        .def_readonly("change", &EffectRow::change);
    value_class<EffectTable>(module, "EffectTable", "Every adjuster of a corner against every output.")
        .def_readonly("held_value", &EffectTable::held_value)
        .def_readonly("values", &EffectTable::values)
        .def_readonly("rows", &EffectTable::rows);
    value_class<RestTable>(module, "RestTable", "Every adjuster, pad and ballast against every value at rest.")
        .def_readonly("state", &RestTable::state)
        .def_readonly("outputs", &RestTable::outputs)
        .def_readonly("variables", &RestTable::variables)
        .def_readonly("rows", &RestTable::rows)
        .def_readonly("left_out", &RestTable::left_out);
    module.def(
        "effects",
        [](const Car& car, CornerId corner, Held hold, double travel_mm, double rack_mm) {
            return with_flats(effects(car, corner, hold, travel_mm, rack_mm));
        },
        py::arg("car"), py::arg("corner"), py::arg("hold"), py::arg("travel_mm"), py::arg("rack_mm"),
        "Effect table of a corner, chassis frame. Raises OutOfReach.");
    module.def(
        "rest_table",
        [](const RestModel& model, const PadHeights& pads_mm) { return with_flats(rest_table(model, pads_mm)); },
        py::arg("model"), py::arg("pads_mm"), "The effect table of the whole car at rest. Raises OutOfReach.");
    module.def(
        "solid_table",
        [](const RestModel& model, const PadHeights& pads_mm, const StrutLengths& struts_mm) {
            return with_flats(solid_table(model, pads_mm, struts_mm));
        },
        py::arg("model"), py::arg("pads_mm"), py::arg("struts_mm"),
        "The effect table of the whole car with its struts held. Raises OutOfReach.");
    module.def("way_words", &way_words, py::arg("adjuster"), py::arg("amount_mm"), "The way of an amount in words.");
    module.def("row_name", &row_name, py::arg("adjuster"), py::arg("per"), "What a row is about, in words.");
}

}  // namespace shimwise

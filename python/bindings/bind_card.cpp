#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/card_file.hpp"
#include "shimwise/workshop/card_text.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

void bind_lines(py::module_& module) {
    bind_names<ReadingOf>(module, "ReadingOf", reading_of_names);
    value_class<CardReading>(module, "CardReading", "A reading to expect, and the window in which to go on.")
        .def_readonly("of", &CardReading::of)
        .def_readonly("at", &CardReading::at)
        .def_readonly("expect", &CardReading::expect)
        .def_readonly("window", &CardReading::window);
    value_class<CardLine>(module, "CardLine", "One thing to do.")
        .def_readonly("text", &CardLine::text)
        .def_readonly("corner", &CardLine::corner)
        .def_readonly("key", &CardLine::key)
        .def_readonly("minutes", &CardLine::minutes)
        .def_readonly("way_round", &CardLine::way_round)
        .def_readonly("length_mm", &CardLine::length_mm)
        .def_readonly("ticks", &CardLine::ticks)
        .def_readonly("expect", &CardLine::expect);
    value_class<CardStep>(module, "CardStep", "A step of the working order.")
        .def_readonly("number", &CardStep::number)
        .def_readonly("title", &CardStep::title)
        .def_readonly("lines", &CardStep::lines)
        .def_readonly("boxes", &CardStep::boxes);
}

void bind_whole_card(py::module_& module) {
    value_class<CardValue>(module, "CardValue", "What was measured, what is wanted, what comes of it.")
        .def_readonly("key", &CardValue::key)
        .def_readonly("unit", &CardValue::unit)
        .def_property_readonly("asks",
                               [](const CardValue& of) { return of.judged ? std::optional(of.asks) : std::nullopt; })
        .def_readonly("measured", &CardValue::measured)
        .def_readonly("uncertainty", &CardValue::uncertainty)
        .def_readonly("now", &CardValue::now)
        .def_readonly("value", &CardValue::value)
        .def_readonly("tolerance", &CardValue::tolerance)
        .def_readonly("least", &CardValue::least)
        .def_readonly("most", &CardValue::most)
        .def_readonly("tolerance_is_common_practice", &CardValue::tolerance_is_common_practice)
        .def_readonly("then", &CardValue::then)
        .def_readonly("window", &CardValue::window)
        .def_readonly("within", &CardValue::within);
    value_class<Card>(module, "Card", "The job in working order.")
        .def_readonly("car", &Card::car)
        .def_readonly("place", &Card::place)
        .def_readonly("at", &Card::at)
        .def_readonly("which", &Card::which)
        .def_readonly("title", &Card::title)
        .def_readonly("why", &Card::why)
        .def_readonly("frame", &Card::frame)
        .def_readonly("touches", &Card::touches)
        .def_readonly("minutes", &Card::minutes)
        .def_readonly("chance", &Card::chance)
        .def_readonly("doubts", &Card::doubts)
        .def_readonly("moves", &Card::moves)
        .def_readonly("cautions", &Card::cautions)
        .def_readonly("steps", &Card::steps)
        .def_readonly("values", &Card::values)
        .def_readonly("proof", &Card::proof)
        .def_readonly("notes", &Card::notes);
}

}  // namespace

void bind_card(py::module_& module) {
    bind_lines(module);
    bind_whole_card(module);
    module.def("card", py::overload_cast<const Plan&, const Car&, Which, const Chances&>(&card), py::arg("plan"),
               py::arg("car"), py::arg("which"), py::arg("chances"), py::call_guard<py::gil_scoped_release>(),
               "The job in working order; `chances` of the plan's choices are known.");
    module.def("card", py::overload_cast<const Plan&, const Car&, Which>(&card), py::arg("plan"), py::arg("car"),
               py::arg("which"), py::call_guard<py::gil_scoped_release>(), "The job in working order.");
    module.def("first_page", &first_page, py::arg("card"), "All that one must know, at most 24 lines of 80 letters.");
    module.def("steps_page", &steps_page, py::arg("card"), "The steps in working order, with room to write.");
    module.def("last_page", &last_page, py::arg("card"), "What was measured, the proof, doubts and notes.");
    module.def("cautions", &cautions, "What every card says once about safety.");
    module.attr("card_format") = card_format;
    module.attr("last_step") = last_step;
    module.def("card_json", &card_json, py::arg("card"), "The key `card` of a saved card, as JSON.");
    module.def("save_card", &save_card, py::arg("path"), py::arg("plan"), py::arg("car"), py::arg("which"),
               py::arg("inputs"), "Writes a new card file without the plan; raises InputError where it exists.");
    module.def("load_card", &load_card, py::arg("path"), "A saved card, to look at; raises InputError.");
    module.def("settings_of_card", &settings_of_card, py::arg("path"), py::arg("car"), py::arg("inputs"),
               py::arg("through") = std::nullopt,
               "The settings once a saved card of this car is done, or its steps up to `through`; raises InputError.");
}

}  // namespace shimwise

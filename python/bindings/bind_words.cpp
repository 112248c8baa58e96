#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/amounts.hpp"
#include "shimwise/workshop/words.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {

void bind_words(py::module_& module) {
    py::class_<Words>(module, "Words", "What was written of a setting or a change, and how a message repeats it.")
        .def(py::init<Words::Said, std::string>(), py::arg("said"), py::arg("shown"));
    py::enum_<From>(module, "From", "From where an amount counts.").value("now", From::now).value("drawn", From::drawn);
    value_class<Amount>(module, "Amount", "What words say of an adjuster: turns of a thread, mm or shims of a pack.")
        .def_readonly("size", &Amount::size)
        .def_readonly("shims_mm", &Amount::shims_mm)
        .def_readonly("taken", &Amount::taken)
        .def_readonly("plain", &Amount::plain);
    module.def("amount", &amount, py::arg("key"), py::arg("adjuster"), py::arg("words"), py::arg("numbers"),
               "What words say; a bare number counts from `numbers`. Raises InputError.");
    module.def("turns_from_drawn", &turns_from_drawn, py::arg("amount"), py::arg("thread"));
    module.def("setting_of", &setting_of, py::arg("amount"), py::arg("adjuster"),
               "Turns from as drawn, or the whole thickness of a pack.");
    module.def("turns_from_now", &turns_from_now, py::arg("amount"), py::arg("thread"));
    value_class<ValueChange>(module, "ValueChange", "By how much a value changes.")
        .def_readonly("by", &ValueChange::by)
        .def_readonly("at_flags_mm", &ValueChange::at_flags_mm);
    module.def("count_words", &count_words, py::arg("thread"), py::arg("turns"), "Turns without their way, in words.");
    module.def("turns_words", &turns_words, py::arg("adjuster"), py::arg("turns"), "Turns and their way, in words.");
    module.def("pack_words", &pack_words, py::arg("shims_mm"), "A pack in words, thickest shim first.");
    module.def("flags_words", &flags_words, py::arg("difference_mm"), "Front flag less rear flag without a bare sign.");
}

}  // namespace shimwise

#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/amounts.hpp"
#include "shimwise/workshop/words.hpp"

namespace py = pybind11;

namespace shimwise {

void bind_words(py::module_& module) {
    py::class_<Words>(module, "Words", "What was written of a setting or a change, and how a message repeats it.")
        .def(py::init<Words::Said, std::string>(), py::arg("said"), py::arg("shown"));
    module.def("thread_setting", &thread_setting, py::arg("key"), py::arg("adjuster"), py::arg("words"),
               "Turns from the drawn length. Raises InputError.");
    module.def("thread_change", &thread_change, py::arg("key"), py::arg("adjuster"), py::arg("words"),
               "Turns from the present setting, + = longer or toward the spring. Raises InputError.");
    module.def("pack_setting", &pack_setting, py::arg("key"), py::arg("words"),
               "The shims of a pack in mm. Raises InputError.");
    module.def("pack_change", &pack_change, py::arg("key"), py::arg("words"),
               "By how many mm a pack gets thicker, or the shims of the pack that is wanted. Raises InputError.");
    module.def("count_words", &count_words, py::arg("thread"), py::arg("turns"), "Turns without their way, in words.");
    module.def("flags_words", &flags_words, py::arg("difference_mm"), "Front flag less rear flag without a bare sign.");
}

}  // namespace shimwise

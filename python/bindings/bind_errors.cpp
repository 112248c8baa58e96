// The library's two failures as Python exceptions: InputError is a ValueError, OutOfReach a RuntimeError.
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/error.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

PYBIND11_CONSTINIT py::gil_safe_call_once_and_store<py::object> input_error;

// A property, so that the stub knows its type; an InputError raised from Python without a file has no problems.
py::object new_input_error(const py::module_& module) {
    py::object type = py::exception<InputError>(module, "InputError", PyExc_ValueError);
    type.doc() = "Bad input. The message has one sentence per problem, each on a line of its own.";
    auto problems = [](const py::object& self) {
        return py::getattr(self, "_problems", py::list()).cast<std::vector<Problem>>();
    };
    const py::object property = py::module_::import("builtins").attr("property");
    type.attr("problems") = property(py::cpp_function(problems, py::is_method(type)), py::none(), py::none(),
                                     "Every problem of the file, in the order of its lines.");
    return type;
}

py::object as_exception(const InputError& error) {
    py::object raised = input_error.get_stored()(error.what());
    raised.attr("_problems") = error.problems();
    return raised;
}

void translate(std::exception_ptr failure) {
    try {
        std::rethrow_exception(std::move(failure));
    } catch (const InputError& error) {
        PyErr_SetObject(input_error.get_stored().ptr(), as_exception(error).ptr());
    }
}

}  // namespace

void bind_errors(py::module_& module) {
    value_class<Problem>(module, "Problem", "One fault of one file; parts that do not apply are empty or 0.")
        .def(py::init<std::string, int, int, std::string, std::string, std::string>(), py::arg("file"), py::arg("line"),
             py::arg("column"), py::arg("field"), py::arg("value"), py::arg("rule"))
        .def_readonly("file", &Problem::file)
        .def_readonly("line", &Problem::line)
        .def_readonly("column", &Problem::column)
        .def_readonly("field", &Problem::field)
        .def_readonly("value", &Problem::value)
        .def_readonly("rule", &Problem::rule)
        .def("__str__", &sentence)
        .def("__repr__", [](const Problem& self) { return py::str("<Problem {}>").format(sentence(self)); });
    input_error.call_once_and_store_result([&] { return new_input_error(module); });
    py::register_exception_translator(&translate);
    module.def(
        "input_error", [](std::vector<Problem> problems) { return as_exception(InputError(std::move(problems))); },
        py::arg("problems"), "An InputError to raise, with these problems.");
    py::register_exception<OutOfReach>(module, "OutOfReach", PyExc_RuntimeError).doc() =
        "What was asked cannot be reached; the message says why and by how much.";
}

}  // namespace shimwise

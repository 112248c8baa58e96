#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/model/value_id.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {

void bind_values(py::module_& module) {
    py::enum_<Output> outputs(module, "Output");
    for (std::size_t o = 0; o < output_count; ++o)
        outputs.value(std::string(output_list[o].name).c_str(), static_cast<Output>(o));

    py::class_<ValueInfo>(module, "OutputInfo", "Name, unit and sign of an output, and how people say it.")
        .def_readonly("name", &ValueInfo::name)
        .def_property_readonly("column", [](const ValueInfo& info) { return column_name(info); })
        .def_readonly("unit", &ValueInfo::unit)
        .def_readonly("sign", &ValueInfo::sign)
        .def_readonly("depends_on_frame", &ValueInfo::depends_on_frame)
        .def_readonly("plus", &ValueInfo::plus)
        .def_readonly("minus", &ValueInfo::minus)
        .def_readonly("label", &ValueInfo::label)
        .def_readonly("in_words", &ValueInfo::in_words)
        .def_readonly("in_words_always", &ValueInfo::in_words_always)
        .def_readonly("target", &ValueInfo::target)
        .def_readonly("common_tolerance", &ValueInfo::common_tolerance)
        .def_readonly("tolerance_at_flags_mm", &ValueInfo::tolerance_at_flags_mm);
    module.def("output_list", [] { return output_list; }, "Every output, in order.");
    module.def("column_names", &column_names, "Names of all outputs with their units, in order.");
    module.def("corner_load_list", [] { return corner_load_list; }, "What a corner carries, in order.");
    module.def("car_output_list", [] { return car_output_list; }, "Every value of an axle or the car, in order.");
    module.def("ride_height_info", [] { return ride_height_info; }, "The height of a named point.");
    value_class<ValueId>(module, "RestOutput", "One value of a car at rest: its name, unit and sign.")
        .def_property_readonly("name", [](const ValueId& id) { return column_name(id); })
        .def_property_readonly("unit", [](const ValueId& id) { return info(id).unit; })
        .def_property_readonly("sign", [](const ValueId& id) { return info(id).sign; });
}

}  // namespace shimwise

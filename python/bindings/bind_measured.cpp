#include <pybind11/eigen.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/measure/compare.hpp"
#include "shimwise/workshop/measure/contradictions.hpp"
#include "shimwise/workshop/measure/settled.hpp"
#include "shimwise/workshop/measure/sheet_findings.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

std::string_view kind_words(InputKind kind) { return input_kind_words.at(static_cast<std::size_t>(kind)); }

void bind_input_quantities(py::module_& module) {
    value_class<Spread>(module, "Spread", "An error of two parts: evenly spread over a last digit, and normal.")
        .def_readonly("last_digit", &Spread::last_digit)
        .def_readonly("normal", &Spread::normal)
        .def_property_readonly("standard", &Spread::standard);
    value_class<InputQuantity>(module, "InputQuantity", "One independent input of the measurement model.")
        .def_property_readonly("kind", [](const InputQuantity& input) { return kind_words(input.kind); })
        .def_readonly("key", &InputQuantity::key)
        .def_readonly("value", &InputQuantity::value)
        .def_readonly("unit", &InputQuantity::unit)
        .def_readonly("anew", &InputQuantity::anew)
        .def_readonly("stays", &InputQuantity::stays)
        .def_property_readonly("uncertainty", &InputQuantity::standard);
}

void bind_findings(py::module_& module) {
    value_class<PartOfVariance>(module, "PartOfVariance", "How much of a value's variance one kind of input brings.")
        .def_property_readonly("kind", [](const PartOfVariance& part) { return kind_words(part.kind); })
        .def_readonly("share", &PartOfVariance::share);
    module.def("made_of", &made_of, py::arg("measured"), py::arg("quantity"), "The largest part first.");
    value_class<Finding>(module, "Finding", "A length or an angle that is looked for, and its standard uncertainty.")
        .def_readonly("value", &Finding::value)
        .def_readonly("uncertainty", &Finding::u)
        .def_property_readonly("unsure", &Finding::unsure);
    value_class<StringsRead>(module, "StringsRead", "How the strings ran.")
        .def_readonly("angle_deg", &StringsRead::angle_deg)
        .def_readonly("wider_in_front_mm", &StringsRead::wider_in_front_mm)
        .def_readonly("off_centre_mm", &StringsRead::off_centre_mm);
    module.def("strings_read", &strings_read, py::arg("measured"), py::arg("car"),
               "How the strings ran; None where they were not read.");
    module.def("gauge_zero_deg", &gauge_zero_deg, py::arg("measured"), "The camber gauge's zero error.");
    value_class<Repeat>(module, "Repeat", "A reading that was taken more than once.")
        .def_readonly("key", &Repeat::key)
        .def_readonly("unit", &Repeat::unit)
        .def_readonly("readings", &Repeat::readings)
        .def_readonly("in_sets", &Repeat::in_sets)
        .def_readonly("scatter", &Repeat::scatter);
    module.def("repeats", &repeats, py::arg("measured"), py::arg("car"), "Readings that were taken more than once.");
    value_class<Settled>(module, "Settled", "How the car itself scatters, from a sheet that was read anew.")
        .def_property_readonly("what", [](const Settled& of) { return settles_names[index(of.what)]; })
        .def_property_readonly("unit", [](const Settled& of) { return settles_units[index(of.what)]; })
        .def_readonly("sets", &Settled::sets)
        .def_readonly("degrees", &Settled::degrees)
        .def_readonly("between", &Settled::between)
        .def_readonly("by_instruments", &Settled::by_instruments)
        .def_readonly("of_file", &Settled::of_file)
        .def_readonly("counts", &Settled::counts);
    value_class<Slip>(module, "Slip", "One explanation of a sheet of readings.")
        .def_property_readonly("kind", [](const Slip& of) { return slip_names[index(of.kind)]; })
        .def_readonly("inputs", &Slip::inputs)
        .def_readonly("amount", &Slip::amount)
        .def_readonly("unit", &Slip::unit)
        .def_readonly("odds", &Slip::odds)
        .def_readonly("chance", &Slip::chance)
        .def_readonly("chi_square", &Slip::chi_square)
        .def_readonly("words", &Slip::words);
    value_class<Contradictions>(module, "Contradictions", "Whether a sheet contradicts the car and itself.")
        .def_readonly("slips", &Contradictions::slips)
        .def_readonly("degrees", &Contradictions::degrees)
        .def_readonly("chi_square", &Contradictions::chi_square)
        .def_readonly("p", &Contradictions::p)
        .def_readonly("fits", &Contradictions::fits)
        .def_readonly("doubt", &Contradictions::doubt);
    module.def("contradictions", &contradictions, py::arg("measured"), py::arg("car"),
               "Nothing where the car does not stand by the model.");
    module.def(
        "settled", [](const Measured& m, const Car& car) { return settled(m.given, car); }, py::arg("measured"),
        py::arg("car"), "Of every kind that was read in more than one set.");
}

void bind_reduced(py::module_& module) {
    bind_names<GroundFrom>(module, "GroundFrom", ground_from_names);
    value_class<Quantity>(module, "Quantity", "Key, unit and origin of a measured value.")
        .def_property_readonly("key", [](const Quantity& of) { return key(of.id); })
        .def_property_readonly("unit", [](const Quantity& of) { return info(of.id).unit; })
        .def_property_readonly("in_words", [](const Quantity& of) { return info(of.id).in_words; })
        .def_readonly("derived", &Quantity::derived);
    value_class<Measured>(module, "Measured", "Alignment, heights and weights with their covariance.")
        .def_readonly("quantities", &Measured::quantities)
        .def_property_readonly("values", [](const Measured& m) { return m.values.value; })
        .def_property_readonly("covariance", [](const Measured& m) { return m.values.covariance; })
        .def_property_readonly("uncertainties", [](const Measured& m) { return m.values.standard(); })
        .def_readonly("repeat_covariance", &Measured::repeat_covariance)
        .def_property_readonly("ground_from", [](const Measured& m) { return m.ground.from; })
        .def_property_readonly("frame_words", [](const Measured& m) { return frame_words(m.ground); })
        .def_readonly("inputs", &Measured::inputs)
        .def_readonly("by_inputs", &Measured::by_inputs)
        .def_readonly("within_95", &Measured::within_95)
        .def_readonly("notes", &Measured::notes);
    module.def("flag_difference_mm", &flag_difference_mm, py::arg("toe_deg"), py::arg("string_angle_deg"),
               py::arg("flag_span_mm"), "Front flag less rear flag.");
    module.def("reduce", py::overload_cast<const Readings&, const Car&>(&reduce), py::arg("readings"), py::arg("car"),
               "Readings to values with covariance. Raises OutOfReach.");
    module.def(
        "reduce_drawn",
        [](const Readings& readings, const Car& car, std::size_t draws, std::uint64_t seed) {
            return reduce(readings, car, Draws{draws, seed});
        },
        py::arg("readings"), py::arg("car"), py::arg("draws"), py::arg("seed"),
        py::call_guard<py::gil_scoped_release>(),
        "The same by propagation of distributions. Raises OutOfReach, and InputError for too few draws.");

    value_class<AtFlags>(module, "AtFlags", "Toe in mm at the flags, measured and wanted.")
        .def_readonly("measured_mm", &AtFlags::measured_mm)
        .def_readonly("uncertainty_mm", &AtFlags::uncertainty_mm)
        .def_readonly("value_mm", &AtFlags::value_mm)
        .def_readonly("tolerance_mm", &AtFlags::tolerance_mm)
        .def_readonly("least_mm", &AtFlags::least_mm)
        .def_readonly("most_mm", &AtFlags::most_mm)
        .def_readonly("difference_mm", &AtFlags::difference_mm);
    value_class<Comparison>(module, "Comparison", "A value beside its target.")
        .def_property_readonly("key", [](const Comparison& of) { return key(of.id); })
        .def_property_readonly("unit", [](const Comparison& of) { return info(of.id).unit; })
        .def_readonly("derived", &Comparison::derived)
        .def_readonly("measured", &Comparison::measured)
        .def_readonly("uncertainty", &Comparison::uncertainty)
        .def_readonly("target", &Comparison::target)
        .def_readonly("difference", &Comparison::difference)
        .def_readonly("within", &Comparison::within)
        .def_readonly("at_flags", &Comparison::at_flags);
    module.def("compare", &compare, py::arg("measured"), py::arg("targets"));
}

}  // namespace

void bind_measured(py::module_& module) {
    bind_input_quantities(module);
    bind_reduced(module);
    bind_findings(module);
}

}  // namespace shimwise

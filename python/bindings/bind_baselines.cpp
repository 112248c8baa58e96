#include <pybind11/eigen.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/choose/explained.hpp"
#include "shimwise/workshop/choose/restore.hpp"
#include "shimwise/workshop/files/inputs.hpp"
#include "shimwise/workshop/measure/history.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

void bind_compared(py::module_& module) {
    value_class<Difference>(module, "Difference", "A value that both sheets have, and by how much it differs.")
        .def_property_readonly("key", [](const Difference& of) { return key(of.id); })
        .def_property_readonly("unit", [](const Difference& of) { return info(of.id).unit; })
        .def_readonly("derived", &Difference::derived)
        .def_readonly("was", &Difference::was)
        .def_readonly("is_now", &Difference::is)
        .def_readonly("by", &Difference::by)
        .def_readonly("uncertainty", &Difference::u)
        .def_readonly("changed", &Difference::changed)
        .def_readonly("tolerance", &Difference::tolerance)
        .def_readonly("within", &Difference::within);
    value_class<Differences>(module, "Differences", "What has changed from one sheet to another.")
        .def_readonly("values", &Differences::values)
        .def_readonly("covariance", &Differences::covariance)
        .def_property_readonly("only_old", [](const Differences& all) { return keys(all.only_old); })
        .def_property_readonly("only_new", [](const Differences& all) { return keys(all.only_new); })
        .def_readonly("shared", &Differences::shared)
        .def_readonly("apart", &Differences::apart);
    module.def("differences", &differences, py::arg("old"), py::arg("new"), py::arg("car"),
               "Of all values that both sheets have; what both share cancels.");
    module.def(
        "common_tolerance",
        [](const std::string& key, const Car& car) -> std::optional<double> {
            const auto id = named(car, key);
            return id ? common_tolerance(*id, car) : std::nullopt;
        },
        py::arg("key"), py::arg("car"), "How far a value may lie off; common practice, no source.");
    value_class<Cause>(module, "Cause", "What one cause makes of every difference, by the model.")
        .def_property_readonly("kind", [](const Cause& of) { return cause_names[index(of.kind)]; })
        .def_readonly("name", &Cause::name)
        .def_readonly("words", &Cause::words)
        .def_readonly("by", &Cause::by);
    value_class<Left>(module, "Left", "What of a difference no cause explains.")
        .def_readonly("by", &Left::by)
        .def_readonly("uncertainty", &Left::u)
        .def_readonly("unexplained", &Left::unexplained)
        .def_readonly("by_model", &Left::by_model);
    value_class<Guess>(module, "Guess",
                       "One cause that nobody said, and that alone would explain most of what is left.")
        .def_readonly("key", &Guess::key)
        .def_readonly("words", &Guess::words)
        .def_readonly("amount", &Guess::amount)
        .def_readonly("uncertainty", &Guess::u)
        .def_readonly("unit", &Guess::unit)
        .def_readonly("chi_square", &Guess::chi_square)
        .def_readonly("p", &Guess::p);
    value_class<Explained>(module, "Explained", "Why a car reads otherwise than before.")
        .def_readonly("differences", &Explained::differences)
        .def_readonly("causes", &Explained::causes)
        .def_readonly("turned", &Explained::turned)
        .def_readonly("left", &Explained::left)
        .def_readonly("left_covariance", &Explained::left_covariance)
        .def_readonly("chi_square", &Explained::chi_square)
        .def_readonly("degrees", &Explained::degrees)
        .def_readonly("p", &Explained::p)
        .def_readonly("guesses", &Explained::guesses)
        .def_property_readonly("held", [](const Explained& all) { return car_held_names[index(all.held)]; })
        .def_readonly("notes", &Explained::notes);
    module.def("explain", &explain, py::arg("old"), py::arg("was"), py::arg("new"), py::arg("now"),
               "Both cars with the settings of their sheets. Raises OutOfReach.");
}

void bind_accepted(py::module_& module) {
    value_class<BaselineValue>(module, "BaselineValue", "A value as it was accepted.")
        .def_readonly("key", &BaselineValue::key)
        .def_readonly("unit", &BaselineValue::unit)
        .def_readonly("value", &BaselineValue::value)
        .def_readonly("uncertainty", &BaselineValue::u)
        .def_readonly("anew", &BaselineValue::anew)
        .def_readonly("derived", &BaselineValue::derived);
    value_class<InstrumentNames>(module, "InstrumentNames", "Which of several a sheet was read with.")
        .def_readonly("strings", &InstrumentNames::strings)
        .def_readonly("camber_gauge", &InstrumentNames::camber_gauge)
        .def_readonly("scale", &InstrumentNames::scale);
    value_class<Baseline>(module, "Baseline", "A state of the car that was accepted.")
        .def_readonly("file", &Baseline::file)
        .def_property_readonly("digest", [](const Baseline& b) { return digits(b.origin); })
        .def_readonly("car", &Baseline::car)
        .def_readonly("reason", &Baseline::reason)
        .def_readonly("place", &Baseline::place)
        .def_readonly("at", &Baseline::at)
        .def_readonly("version", &Baseline::version)
        .def_readonly("replaces", &Baseline::replaces)
        .def_readonly("car_digest", &Baseline::car_digest)
        .def_readonly("sheet_digest", &Baseline::sheet_digest)
        .def_readonly("sheet_file", &Baseline::sheet_file)
        .def_readonly("sheet", &Baseline::sheet)
        .def_readonly("instruments", &Baseline::instruments)
        .def_readonly("ballast_kg", &Baseline::ballast_kg)
        .def_property_readonly("bars",
                               [](const Baseline& b) -> std::optional<std::string_view> {
                                   if (!b.bars) return std::nullopt;
                                   return bars_were_names[index(*b.bars)];
                               })
        .def_readonly("rack_locked", &Baseline::rack_locked)
        .def_readonly("struts_solid", &Baseline::struts_solid)
        .def_readonly("pads_mm", &Baseline::pads_mm)
        .def_readonly("settings", &Baseline::settings)
        .def_readonly("lengths_mm", &Baseline::lengths_mm)
        .def_readonly("values", &Baseline::values)
        .def_readonly("covariance", &Baseline::covariance);
    module.def("accepted", &accepted, py::arg("readings"), py::arg("car"), py::arg("reason"), py::arg("replaces"),
               "Raises InputError, OutOfReach.");
    module.def("save_baseline", &save_baseline, py::arg("baseline"), py::arg("path"),
               "Writes a new file; raises InputError where it exists.");
    module.def("baseline_text", &baseline_text, py::arg("baseline"), "What that file holds.");
    module.def("baseline_from", py::overload_cast<const Source&, const Car&>(&baseline_from), py::arg("source"),
               py::arg("car"), "Raises InputError, OutOfReach.");
    module.def("baseline_alone_from", py::overload_cast<const Source&>(&baseline_from), py::arg("source"),
               "Whatever its car. Raises InputError.");
    module.def("is_baseline", &is_baseline, py::arg("source"), "Whether it says that it is one.");
    module.def("input_of", [](const Baseline& b) { return Input{"baseline", b.file, b.origin}; }, py::arg("loaded"));
    module.def("as_accepted", &as_accepted, py::arg("baseline"), py::arg("car"), "The car as it was set then.");
    module.def("readings_of", &readings_of, py::arg("baseline"), py::arg("car"), "Its sheet.");
    module.def("baseline_notes", &baseline_notes, py::arg("baseline"), py::arg("car"),
               "What has come between the baseline and this car.");
}

void bind_restored(py::module_& module) {
    value_class<RestoreLine>(module, "RestoreLine", "One adjuster on its way back.")
        .def_readonly("key", &RestoreLine::key)
        .def_readonly("purpose", &RestoreLine::purpose)
        .def_readonly("words", &RestoreLine::words)
        .def_readonly("before", &RestoreLine::before)
        .def_readonly("after", &RestoreLine::after)
        .def_readonly("minutes", &RestoreLine::minutes);
    value_class<Restored>(module, "Restored", "The way back to an accepted state.")
        .def_readonly("lines", &Restored::lines)
        .def_readonly("not_made", &Restored::not_made)
        .def_readonly("notes", &Restored::notes)
        .def_readonly("settings", &Restored::settings)
        .def_readonly("minutes", &Restored::minutes);
    module.def("targets_of", &targets_of, py::arg("baseline"), py::arg("now"), py::arg("car"),
               "What was accepted as what is wanted, within common tolerances.");
    module.def("restore", &restore, py::arg("car"), py::arg("baseline"),
               "From how the car is set to how it was set then.");
}

void bind_history(py::module_& module) {
    value_class<Accepted>(module, "Accepted", "A baseline in its history.")
        .def_readonly("baseline", &Accepted::baseline)
        .def_readonly("in_chain", &Accepted::in_chain)
        .def_readonly("day", &Accepted::day)
        .def_readonly("replaced_by", &Accepted::replaced_by);
    value_class<Trend>(module, "Trend", "A line through what one value was in every baseline of the chain.")
        .def_readonly("key", &Trend::key)
        .def_readonly("unit", &Trend::unit)
        .def_readonly("at", &Trend::at)
        .def_readonly("values", &Trend::values)
        .def_readonly("noise", &Trend::noise)
        .def_readonly("rate", &Trend::rate)
        .def_readonly("over", &Trend::over)
        .def_readonly("uncertainty", &Trend::over_u)
        .def_readonly("chance", &Trend::chance)
        .def_readonly("is_one", &Trend::is_one);
    value_class<History>(module, "History", "A folder of baselines.")
        .def_readonly("car", &History::car)
        .def_readonly("accepted", &History::accepted)
        .def_readonly("faults", &History::faults)
        .def_readonly("trends", &History::trends)
        .def_readonly("dated", &History::dated)
        .def_readonly("one_set", &History::one_set);
    module.def("older_words", &older_words, py::arg("baseline"), py::arg("replaced"),
               "That a baseline was read before the one that it replaces; empty where it was not.");
    module.def("history", &history, py::arg("folder"), py::call_guard<py::gil_scoped_release>(),
               "All baselines of a folder. Raises InputError.");
}

}  // namespace

void bind_baselines(py::module_& module) {
    bind_compared(module);
    bind_accepted(module);
    bind_restored(module);
    bind_history(module);
}

}  // namespace shimwise

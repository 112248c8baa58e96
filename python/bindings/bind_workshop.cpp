#include <pybind11/eigen.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/files/write.hpp"
#include "shimwise/workshop/choose/allowed.hpp"
#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/choose/expect.hpp"
#include "shimwise/workshop/choose/instead.hpp"
#include "shimwise/workshop/choose/tried.hpp"
#include "shimwise/workshop/doubt/doubts.hpp"
#include "shimwise/workshop/doubt/usual.hpp"
#include "shimwise/workshop/files/inputs.hpp"
#include "shimwise/workshop/files/sheet.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

void bind_inputs(py::module_& module) {
    value_class<Settings>(module, "Settings", "The adjusters as they stand: turns from drawn, shims fitted, boxes.")
        .def(py::init<>())
        .def_readwrite("file", &Settings::file)
        .def_readwrite("car", &Settings::car)
        .def_readwrite("turns", &Settings::turns)
        .def_readwrite("shims_mm", &Settings::shims_mm)
        .def_readwrite("box_mm", &Settings::box_mm)
        .def("save", &save_settings, py::arg("path"),
             "Write a settings file, aside and then renamed; raise InputError where it exists.");
    module.def("load_settings", &load_settings, py::arg("path"), py::arg("car"));
    module.def("with_settings", &with_settings, py::arg("car"), py::arg("settings"),
               "The car with these settings; raises InputError where a limit is broken.");
    module.def(
        "done_instead",
        [](const Car& before, const Car& after, const std::string& key, const Words& words) {
            std::vector<std::string> notes;
            Car car = done_instead(before, after, key, words, notes);
            return std::pair(std::move(car), std::move(notes));
        },
        py::arg("before"), py::arg("after"), py::arg("key"), py::arg("words"),
        "The car after a card, one adjuster as it was really set, and notes on its shims. Raises InputError.");
    module.def(
        "packs_at_hand",
        [](const Car& car, const std::string& key) {
            std::vector<std::vector<double>> packs_mm;
            const AdjusterPlace place = demand_stack(car, key);
            for (StackChoice& pack : packs_at_hand(car, *car[place.corner].adjusters[place.adjuster].stack()))
                packs_mm.push_back(std::move(pack.shims_mm));
            return packs_mm;
        },
        py::arg("car"), py::arg("key"),
        "Every pack of a stack's shims and those in its box within its limits, from thin to thick. Raises InputError.");
    module.def(
        "missing_shims_mm",
        [](const Car& car, const std::vector<std::string>& keys,
           const std::vector<std::vector<std::vector<double>>>& packs_of_each_mm,
           const std::vector<std::vector<std::size_t>>& picked_of_each) {
            std::vector<AdjusterPlace> stacks;
            for (const std::string& key : keys) stacks.push_back(demand_stack(car, key));
            const py::gil_scoped_release released;
            return missing_shims_mm(car, stacks, packs_of_each_mm, picked_of_each);
        },
        py::arg("car"), py::arg("keys"), py::arg("packs_of_each_mm"), py::arg("picked_of_each"),
        "Of each combination of packs the thickness of all shims that are missing for it. Raises InputError.");
    module.def(
        "not_at_hand_words",
        [](const Car& car, const std::string& key, const std::vector<double>& shims_mm) {
            const auto place = find_adjuster(car, key);
            return place ? not_at_hand_words(car, *place, shims_mm) : std::string();
        },
        py::arg("car"), py::arg("key"), py::arg("shims_mm"), "Which pack has shims that are not at hand; else empty.");
    module.def("settings_of", &settings_of, py::arg("car"));
    module.def("save_settings", &save_settings, py::arg("settings"), py::arg("path"),
               "Writes a new file, aside and then renamed; raises InputError where it exists.");

    value_class<GaugeCheck>(module, "GaugeCheck", "The camber gauge on one surface, both ways round.")
        .def_readonly("at", &GaugeCheck::at)
        .def_readonly("zero_deg", &GaugeCheck::zero_deg);
    value_class<Readings>(module, "Readings", "The clipboard.")
        .def_readonly("file", &Readings::file)
        .def_readonly("place", &Readings::place)
        .def_readonly("at", &Readings::at)
        .def_readonly("gauge_checks", &Readings::gauge_checks)
        .def_readonly("packing_mm", &Readings::packing_mm)
        .def_readonly("remarks", &Readings::remarks);
    module.def("readings_from", &readings_from, py::arg("source"), py::arg("car"));

    value_class<Target>(module, "Target", "A wanted value with its tolerance, or a one-sided limit.")
        .def_readonly("value", &Target::value)
        .def_readonly("tolerance", &Target::tolerance)
        .def_readonly("tolerance_is_common_practice", &Target::tolerance_is_common_practice)
        .def_readonly("least", &Target::least)
        .def_readonly("most", &Target::most)
        .def_readonly("flag_span_mm", &Target::flag_span_mm);
    value_class<Targets>(module, "Targets", "What the car should read.")
        .def_readonly("file", &Targets::file)
        .def_property_readonly("corners", &corner_targets_by_name)
        .def_property_readonly("car", [](const Targets& t) { return targets_by_name(t, ValueId::Of::car); })
        .def_property_readonly("ride_heights",
                               [](const Targets& t) { return targets_by_name(t, ValueId::Of::ride_height); })
        .def("__repr__", [](const Targets& self) { return py::str("<Targets {}>").format(self.file); });
    module.def("targets_from", &targets_from, py::arg("source"), py::arg("car"));
}

template <class Loaded>
void def_input_of(py::module_& module) {
    module.def("input_of", py::overload_cast<const Loaded&>(&input_of), py::arg("loaded"));
}

void bind_origins(py::module_& module) {
    const auto of_bytes = [](const std::string& role, const std::string& file, const py::bytes& read) {
        return Input{role, file, origin_of(std::string_view(read))};
    };
    value_class<Input>(module, "Input", "A file that an answer was made from, by its role, as it was read.")
        .def(py::init(of_bytes), py::arg("role"), py::arg("file"), py::arg("read"))
        .def_readonly("role", &Input::role)
        .def_readonly("file", &Input::file)
        .def_property_readonly("digest", [](const Input& input) { return digits(input.origin); })
        .def_property_readonly("invented_lines", [](const Input& input) { return input.origin.invented_lines; });
    def_input_of<Car>(module);
    def_input_of<Settings>(module);
    def_input_of<Readings>(module);
    def_input_of<Targets>(module);
    def_input_of<Skid>(module);
    def_input_of<SweepFile>(module);
    module.def(
        "input_as",
        [](const std::string& role, Input input) {
            input.role = role;
            return input;
        },
        py::arg("role"), py::arg("input"), "The same in another role: of two sheets, which.");
    module.def(
        "input_of_card", [](const Settings& after) { return Input{"card", after.file, after.origin}; },
        py::arg("settings_after"));
    module.def("input_names", &input_names, py::arg("inputs"), "What each is called beside the others.");
}

void bind_sheet(py::module_& module) {
    value_class<TurnedLength>(module, "TurnedLength", "A length that threads turn, as the settings have it.")
        .def_readonly("adjusters", &TurnedLength::adjusters)
        .def_readonly("now_mm", &TurnedLength::now_mm);
    value_class<CornerSheet>(module, "CornerSheet", "What is read at one corner.")
        .def_readonly("flags", &CornerSheet::flags)
        .def_readonly("camber", &CornerSheet::camber)
        .def_readonly("scale", &CornerSheet::scale)
        .def_property_readonly("shims_mm", [](const CornerSheet& s) { return in_order(s.shims_mm); })
        .def_property_readonly("lengths", [](const CornerSheet& s) { return in_order(s.lengths); });
    value_class<Sheet>(module, "Sheet", "What a readings file of a car may hold.")
        .def_readonly("car", &Sheet::car)
        .def_property_readonly("ballast_kg", [](const Sheet& s) { return in_order(s.ballast_kg); })
        .def_readonly("steered", &Sheet::steered)
        .def_readonly("strings", &Sheet::strings)
        .def_readonly("pads", &Sheet::pads)
        .def_readonly("skid", &Sheet::skid)
        .def_readonly("ride_heights", &Sheet::ride_heights)
        .def_readonly("camber_gauge", &Sheet::camber_gauge)
        .def_property_readonly("corners", [](const Sheet& s) { return in_order(by_corner(s.corners)); })
        .def_readonly("left_out", &Sheet::left_out);
    module.def("sheet", &sheet, py::arg("car"), "The fields that readings of this car take, as it is set.");
}

void bind_doubts(py::module_& module) {
    value_class<Doubt>(module, "Doubt", "What is possible and yet unlikely.")
        .def_readonly("at", &Doubt::at)
        .def_readonly("text", &Doubt::text);
    py::class_<Usual>(module, "Usual", "What a number usually is; common practice, no source.")
        .def_readonly("what", &Usual::what)
        .def_readonly("least", &Usual::least)
        .def_readonly("most", &Usual::most)
        .def_readonly("unit", &Usual::unit)
        .def_readonly("matters", &Usual::matters);
    module.def("usual_list", [] { return usual_list; }, "What the numbers of a car and a clipboard usually are.");
    module.def("doubts", py::overload_cast<const Car&>(&doubts), py::arg("car"));
    module.def("doubts", py::overload_cast<const Measured&, const Car&>(&doubts), py::arg("measured"), py::arg("car"));
    module.def("doubts", py::overload_cast<const Targets&, const Measured&, const Car&>(&doubts), py::arg("targets"),
               py::arg("measured"), py::arg("car"));
    module.def("settings_beside", &settings_beside, py::arg("car"),
               "Settings files that are not named. Reads the folder.");
    module.def("doubtful_words", &doubtful_words, py::arg("doubts"), "What to look at again; empty without a doubt.");
}

void bind_expect(py::module_& module) {
    value_class<Expectation>(module, "Expectation", "What the instruments will show at a wheel.")
        .def_readonly("toe_deg", &Expectation::toe_deg)
        .def_readonly("toe_deviation_deg", &Expectation::toe_deviation_deg)
        .def_readonly("flag_difference_mm", &Expectation::flag_difference_mm)
        .def_readonly("flag_deviation_mm", &Expectation::flag_deviation_mm)
        .def_readonly("camber_deg", &Expectation::camber_deg)
        .def_readonly("camber_deviation_deg", &Expectation::camber_deviation_deg)
        .def_readonly("gauge_deg", &Expectation::gauge_deg);
    value_class<Trial>(module, "Trial", "What is turned and packed in thought, counted from how it stands.")
        .def(py::init<>())
        .def_readwrite("turns", &Trial::turns)
        .def_readwrite("packs_mm", &Trial::packs_mm);
    value_class<TurnedAdjuster>(module, "TurnedAdjuster", "An adjuster that stands differently.")
        .def_readonly("key", &TurnedAdjuster::key)
        .def_readonly("words", &TurnedAdjuster::words)
        .def_readonly("before", &TurnedAdjuster::before)
        .def_readonly("after", &TurnedAdjuster::after)
        .def_readonly("minutes", &TurnedAdjuster::minutes);
    value_class<ExpectedCorner>(module, "ExpectedCorner",
                                "What a wheel shows now and then, and the model's own outputs.")
        .def_readonly("corner", &ExpectedCorner::corner)
        .def_readonly("turned", &ExpectedCorner::turned)
        .def_readonly("now", &ExpectedCorner::now)
        .def_readonly("then", &ExpectedCorner::then)
        .def_readonly("model_now", &ExpectedCorner::model_now)
        .def_readonly("model_then", &ExpectedCorner::model_then);
    value_class<ExpectedTotal>(module, "ExpectedTotal",
                               "Total toe or camber difference of an axle, or the thrust angle.")
        .def_property_readonly("key", [](const ExpectedTotal& of) { return key(of.id); })
        .def_readonly("now_deg", &ExpectedTotal::now_deg)
        .def_readonly("then_deg", &ExpectedTotal::then_deg)
        .def_readonly("deviation_deg", &ExpectedTotal::deviation_deg);
    value_class<Expected>(module, "Expected", "The readings to expect after a change.")
        .def_readonly("car", &Expected::car)
        .def_readonly("frame", &Expected::frame)
        .def_readonly("corners", &Expected::corners)
        .def_readonly("totals", &Expected::totals)
        .def_readonly("car_values", &Expected::car_values)
        .def_property_readonly("held", [](const Expected& all) { return car_held_names[index(all.held)]; })
        .def_readonly("minutes", &Expected::minutes)
        .def_readonly("notes", &Expected::notes);
    module.def(
        "as_read", [](const Car& car, const Measured& measured) { return as_read(car, measured.read); }, py::arg("car"),
        py::arg("measured"), "The car as it stood when it was read: rods and shims of the readings win.");
    module.def(
        "tried",
        [](const Car& car, const Trial& trial) {
            std::vector<std::string> notes;
            Car after = tried(car, trial, notes);
            return std::pair(std::move(after), std::move(notes));
        },
        py::arg("car"), py::arg("trial"),
        "The car with a trial done, and notes on what cannot be locked or stacked. Raises InputError.");
    module.def("expect", &expect, py::arg("measured"), py::arg("before"), py::arg("after"),
               "What `after` will read, where `measured` was read of `before`. Raises OutOfReach.");
}

}  // namespace

void bind_workshop(py::module_& module) {
    module.def("demand_new_file", &demand_new_file, py::arg("path"),
               "Raises InputError where a new file cannot be there: its name is taken, or there is no such folder.");
    module.def(
        "write_new_file", [](const std::string& path, const py::bytes& content) { write_new_file(path, content); },
        py::arg("path"), py::arg("content"), "The same for bytes.");
    module.def(
        "write_new_file", [](const std::string& path, const std::string& text) { write_new_file(path, text); },
        py::arg("path"), py::arg("text"), "Writes aside and renames; raises InputError where the file exists.");
    bind_inputs(module);
    bind_sheet(module);
    bind_measured(module);
    bind_skid(module);
    bind_origins(module);
    bind_doubts(module);
    bind_plan(module);
    bind_card(module);
    bind_expect(module);
    bind_level(module);
    bind_baselines(module);
}

}  // namespace shimwise

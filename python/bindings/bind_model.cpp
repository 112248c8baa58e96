#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/model/bars.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/model/moved_points.hpp"
#include "shimwise/model/point_table.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {

namespace {

void bind_instruments(py::module_& module) {
    value_class<FlagRuler>(module, "FlagRuler").def_readonly("resolution_mm", &FlagRuler::resolution_mm);
    value_class<CamberGauge>(module, "CamberGauge").def_readonly("resolution_deg", &CamberGauge::resolution_deg);
    value_class<HeightGauge>(module, "HeightGauge").def_readonly("resolution_mm", &HeightGauge::resolution_mm);
    value_class<Scale>(module, "Scale").def_readonly("resolution_kg", &Scale::resolution_kg);
    value_class<PadLevel>(module, "PadLevel").def_readonly("resolution_mm", &PadLevel::resolution_mm);
    value_class<Instruments>(module, "Instruments", "What reads the car; a resolution of 0: the file has none.")
        .def_readonly("flag_ruler", &Instruments::flag_ruler)
        .def_readonly("camber_gauge", &Instruments::camber_gauge)
        .def_readonly("height_gauge", &Instruments::height_gauge)
        .def_readonly("scale", &Instruments::scale)
        .def_readonly("pad_level", &Instruments::pad_level);
}

std::optional<std::string> length_name(const Adjuster& adjuster) {
    const auto length = adjuster.length();
    return length ? std::optional<std::string>(length_names[index(*length)]) : std::nullopt;
}

void bind_point_table(py::module_& module) {
    value_class<PointRow>(module, "PointRow", "A row of a table of points that names a corner and a point.")
        .def(py::init([](int line, CornerId corner, std::string point, const std::optional<Xyz>& at_mm) {
                 return PointRow{line, corner, std::move(point), vector(at_mm)};
             }),
             py::arg("line"), py::arg("corner"), py::arg("point"), py::arg("at_mm"));
    module.attr("AXIS_DIRECTION") = axis_direction_name;
    module.def("table_point_names", &table_point_names, "What a row of a table of points may be of.");
    module.def("rocker_rows", [] { return rocker_rows; }, "Rows that a spring on a rocker needs.");
    module.def("direct_spring_rows", [] { return direct_spring_rows; }, "Rows that a spring without rocker needs.");
    module.def("point_table_problems", &point_table_problems, py::arg("file"), py::arg("rows"), py::arg("all_named"),
               "What is wrong with the rows together.");
}

}  // namespace

void bind_model(py::module_& module) {
    value_class<Source>(module, "Source", "What is read: a file, or what would stand in one.")
        .def(py::init([](std::string name, const py::bytes& read, bool has_lines) {
                 return Source{std::move(name), read, has_lines};
             }),
             py::arg("name"), py::arg("read"), py::arg("has_lines") = true);
    module.def("read_source", &read_source, py::arg("path"),
               "Reads a file, once. Raises InputError where there is none or it cannot be read.");
    bind_names<CornerId>(module, "CornerId", corner_names);
    bind_names<Purpose>(module, "Purpose", purpose_names);
    bind_names<Ends>(module, "Ends", ends_names);
    bind_names<Body>(module, "Body", body_names);

    value_class<Vec3<double>>(module, "Vector", "Of the chassis frame: x forward, y left, z up.")
        .def_readonly("x", &Vec3<double>::x)
        .def_readonly("y", &Vec3<double>::y)
        .def_readonly("z", &Vec3<double>::z);
    value_class<SetupWheel>(module, "SetupWheel", "The disc that stands in for wheel and tyre on the plate.")
        .def_readonly("radius_mm", &SetupWheel::radius_mm)
        .def_readonly("width_mm", &SetupWheel::width_mm)
        .def_readonly("offset_mm", &SetupWheel::offset_mm)
        .def_readonly("flag_span_mm", &SetupWheel::flag_span_mm);
    value_class<Bar>(module, "Bar", "Anti-roll bar as drawn: bearings and arms, left and right.")
        .def_readonly("bearing", &Bar::bearing)
        .def_readonly("arm", &Bar::arm)
        .def_readonly("blade", &Bar::blade)
        .def_readonly("connected", &Bar::connected);
    bind_instruments(module);

    value_class<Thread>(module, "Thread", "A threaded rod or platform; settings in turns from the drawn length.")
        .def_readonly("designation", &Thread::designation)
        .def_readonly("pitch_mm", &Thread::pitch_mm)
        .def_readonly("ends", &Thread::ends)
        .def_readonly("lock_turns", &Thread::lock_turns)
        .def_readonly("step_turns", &Thread::step_turns)
        .def_readonly("now_turns", &Thread::now_turns)
        .def_readonly("settable_turns", &Thread::settable_turns)
        .def_property_readonly("lead_mm", &Thread::lead_mm);
    value_class<Stack>(module, "Stack", "A pack of shims; settings are its total thickness in mm.")
        .def_readonly("drawn_with_mm", &Stack::drawn_with_mm)
        .def_readonly("fitted_mm", &Stack::fitted_mm)
        .def_readonly("box", &Stack::box)
        .def_readonly("thickness_uncertainty_mm", &Stack::thickness_uncertainty_mm)
        .def_property_readonly("total_mm", &Stack::total_mm);
    value_class<Adjuster>(module, "Adjuster", "What one mm of it changes, how far it can be set, what it is for.")
        .def_readonly("name", &Adjuster::name)
        .def_readonly("purpose", &Adjuster::purpose)
        .def_readonly("minutes", &Adjuster::minutes)
        .def_readonly("setting", &Adjuster::setting)
        .def_property_readonly("amount_mm", &Adjuster::amount_mm)
        .def_property_readonly("length", &length_name);
    value_class<Corner>(module, "Corner", "One corner as drawn and as set.")
        .def_readonly("id", &Corner::id)
        .def_property_readonly("steered", [](const Corner& corner) { return corner.rack_direction.has_value(); })
        .def_property_readonly("point_names", &Corner::point_names)
        .def_readonly("wheel", &Corner::wheel)
        .def_readonly("rocker_axis", &Corner::rocker_axis)
        .def_readonly("pushrod_outer_on", &Corner::pushrod_outer_on)
        .def_property_readonly("has_pull_rod", &Corner::has_pull_rod)
        .def_readonly("spring_outer_on", &Corner::spring_outer_on)
        .def_readonly("drop_link_outer_on", &Corner::drop_link_outer_on)
        .def_readonly("adjusters", &Corner::adjusters);
    value_class<Ballast>(module, "Ballast", "A mass that is contained in the total.")
        .def_readonly("name", &Ballast::name)
        .def_readonly("now_kg", &Ballast::now_kg);
    value_class<RideHeightPoint>(module, "RideHeightPoint", "A named point over the ground.")
        .def_readonly("name", &RideHeightPoint::name);
    value_class<Car>(module, "Car", "A car, read from a file; changed only by making a changed copy.")
        .def_readonly("file", &Car::file)
        .def_readonly("name", &Car::name)
        .def_readonly("boxes_mm", &Car::boxes_mm)
        .def_readonly("bars", &Car::bars)
        .def_readonly("ballast", &Car::ballast)
        .def_readonly("instruments", &Car::instruments)
        .def_property_readonly("bars_apart_mm", [](const Car& car) { return car.strings.bars_apart_mm; })
        .def_readonly("ride_heights", &Car::ride_heights)
        .def("corner", py::overload_cast<CornerId>(&Car::operator[], py::const_), py::arg("id"),
             py::return_value_policy::reference_internal);
    bind_point_table(module);
    bind_names<Moved>(module, "Moved", moved_names);
    module.def(
        "is_pull_rod",
        [](const std::array<double, 3>& outer, const std::array<double, 3>& inner) {
            return is_pull_rod({outer[0], outer[1], outer[2]}, {inner[0], inner[1], inner[2]});
        },
        py::arg("outer"), py::arg("inner"), "Whether a rod with these ends, as drawn, pulls as the wheel rises.");
    module.def("point_names", [] { return point_names; }, "Names of all points, in order.");
    module.def("with_points_moved",
               py::overload_cast<Car, const std::map<std::string, std::array<double, 3>>&, Moved>(&with_points_moved),
               py::arg("car"), py::arg("by_mm"), py::arg("moved"),
               "The car with points moved by (x, y, z), by \"corner.point\". Raises InputError.");
    module.def(
        "with_bar", &with_bar, py::arg("car"), py::arg("axle"), py::arg("connected"), py::arg("blade") = "",
        "The car with the bar of its front (0) or rear (1) axle on or off, and this blade in it. Raises InputError.");
    module.def(
        "present_length_mm",
        [](const Car& car, CornerId corner, const std::string& length) -> std::optional<double> {
            const auto which = named<Length>(length_names, length);
            return which ? present_length_mm(car, corner, *which) : std::nullopt;
        },
        py::arg("car"), py::arg("corner"), py::arg("length"),
        "Eye to eye as set; None where the corner does not have the parts.");
    module.def("did_you_mean", &did_you_mean, py::arg("name"), py::arg("candidates"),
               "What was probably meant by a misspelt name, as the end of a sentence; empty where nothing is near.");
    module.def("shim_fault", &shim_fault, py::arg("mm"), "What cannot be about a shim; empty where nothing is wrong.");
    module.def("load_car", &load_car, py::arg("path"), "The same of a file.");
    module.def("car_text", &car_text, py::arg("car"),
               "A complete car file of the car as it is set. Raises InputError.");
    module.def("save_car", &save_car, py::arg("car"), py::arg("path"),
               "Writes it to a new file; raises InputError where it exists.");
    module.def("car_from", &car_from, py::arg("source"),
               "Reads a car file and checks its physical sense. Raises InputError with every problem of the file.");
}

}  // namespace shimwise

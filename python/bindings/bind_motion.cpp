#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/motion/curves.hpp"
#include "shimwise/motion/forces.hpp"
#include "shimwise/motion/point_errors.hpp"
#include "shimwise/motion/rates.hpp"
#include "shimwise/motion/steering.hpp"
#include "shimwise/motion/sweep.hpp"
#include "shimwise/units.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

using Array = py::array_t<double, py::array::c_style | py::array::forcecast>;

std::span<const double> view(const Array& a) { return {a.data(), static_cast<std::size_t>(a.size())}; }

py::array_t<double> alignment_block(const Corner& corner, const Array& travel_mm, const Array& rack_mm) {
    py::array_t<double> block({static_cast<py::ssize_t>(output_count), travel_mm.size()});
    double* out = block.mutable_data();
    const py::gil_scoped_release released;  // the arrays are held by the arguments
    alignment(corner, view(travel_mm), view(rack_mm), out);
    return block;
}

py::array_t<double> joints_block(const Corner& corner, const Array& travel_mm, const Array& rack_mm) {
    py::array_t<double> block({static_cast<py::ssize_t>(point_count), travel_mm.size(), py::ssize_t{3}});
    double* out = block.mutable_data();
    const py::gil_scoped_release released;
    joints(corner, view(travel_mm), view(rack_mm), out);
    return block;
}

py::array_t<double> curves_block(const Corner& corner, const Array& travel_mm, const Array& rack_mm) {
    py::array_t<double> block({static_cast<py::ssize_t>(output_count + curve_count), travel_mm.size()});
    double* out = block.mutable_data();
    const py::gil_scoped_release released;
    curves(corner, view(travel_mm), view(rack_mm), out);
    return block;
}

py::array_t<double> steering_block(const Car& car, const Array& rack_mm, const Array& travel_mm) {
    py::array_t<double> block({static_cast<py::ssize_t>(steer_count), rack_mm.size()});
    double* out = block.mutable_data();
    const py::gil_scoped_release released;
    steering(car, view(rack_mm), view(travel_mm), out);
    return block;
}

void bind_curves(py::module_& module) {
    module.def("curve_list", [] { return curve_list; }, "What a curve shows beside the outputs, in order.");
    module.def(
        "missing_for",
        [](const Corner& corner, std::size_t curve) { return missing_for(corner, static_cast<Curve>(curve)); },
        py::arg("corner"), py::arg("curve"),
        "Why the file does not give what a curve needs, by its place in `curve_list`; empty where it does.");
    module.def("curves", &curves_block, py::arg("corner"), py::arg("travel_mm"), py::arg("rack_mm"),
               "All outputs, then all curves, over states of equal count: shape (outputs + curves, states); rows that "
               "something is `missing_for` hold NaN. Raises OutOfReach.");
    module.def("steer_list", [] { return steer_list; }, "What `steering` gives, in order.");
    module.def("steering", &steering_block, py::arg("car"), py::arg("rack_mm"), py::arg("travel_mm"),
               "Steer of the front wheels over states of equal count: shape (6, states). Raises OutOfReach.");
    module.def("ideal_outer_deg", py::vectorize([](double inner_deg, double track_over_wheelbase) {
                   return ideal_outer_rad(inner_deg * rad_per_deg, track_over_wheelbase) * deg_per_rad;
               }),
               py::arg("inner_deg"), py::arg("track_over_wheelbase"),
               "Steer of the outer wheel, deg, by Ackermann's rule cot(outer) - cot(inner) = track/wheelbase.");
    module.def(
        "rates_per_travel", py::overload_cast<const Corner&, Held, double, double>(&rates_per_travel),
        py::arg("corner"), py::arg("hold"), py::arg("travel_mm"), py::arg("rack_mm"),
        "By how much every adjuster's effect on every output, per mm, grows per mm of travel. Raises OutOfReach.");
}

void bind_forces(py::module_& module) {
    module.def("member_names", [] { return member_names; }, "Names of all members, in order.");
    value_class<JointForce>(module, "JointForce", "The force at a joint: x, y, z.")
        .def_property_readonly("point", [](const JointForce& j) { return point_names[index(j.point)]; })
        .def_property_readonly("force_N", [](const JointForce& j) { return xyz(j.force_N); });
    value_class<Forces>(module, "Forces", "Forces in a corner for a load at the contact, chassis frame.")
        .def_property_readonly("load_N", [](const Forces& f) { return xyz(f.load_N); })
        .def_property_readonly("contact_mm", [](const Forces& f) { return xyz(f.contact_mm); })
        .def_readonly("axial_N", &Forces::axial_N)
        .def_readonly("on_upright", &Forces::on_upright)
        .def_readonly("on_chassis", &Forces::on_chassis)
        .def_readonly("along_upper_pickups_N", &Forces::along_upper_pickups_N)
        .def_readonly("along_lower_pickups_N", &Forces::along_lower_pickups_N)
        .def_property_readonly("rocker_moment_Nmm", [](const Forces& f) { return xyz(f.rocker_moment_Nmm); })
        .def_readonly("out_of_balance_N", &Forces::out_of_balance_N);
    module.def(
        "forces",
        [](const Corner& corner, const Xyz& load_N, double travel_mm, double rack_mm) {
            return forces(corner, {load_N[0], load_N[1], load_N[2]}, travel_mm, rack_mm);
        },
        py::arg("corner"), py::arg("load_N"), py::arg("travel_mm"), py::arg("rack_mm"),
        "Forces of a corner for a load of the ground on the wheel at the contact. Raises OutOfReach.");
}

void bind_point_errors(py::module_& module) {
    value_class<ToeAndCamber>(module, "ToeAndCamber", "Toe and camber of one change, deg.")
        .def_readonly("toe_deg", &ToeAndCamber::toe_deg)
        .def_readonly("camber_deg", &ToeAndCamber::camber_deg);
    value_class<PointError>(module, "PointError", "One coordinate of a point: by how much predicted changes go wrong.")
        .def_property_readonly("point", [](const PointError& e) { return point_names[index(e.point)]; })
        .def_readonly("axis", &PointError::axis)
        .def_readonly("of_adjusters", &PointError::of_adjusters)
        .def_readonly("of_bump", &PointError::of_bump);
    module.def("point_errors", &point_errors, py::arg("car"), py::arg("corner"), py::arg("held"), py::arg("error_mm"),
               py::arg("bump_mm"), "Every coordinate of every point in turn. Raises InputError, OutOfReach.");
}

}  // namespace

void bind_motion(py::module_& module) {
    bind_names<Held>(module, "Held", held_names);

    module.def("alignment", &alignment_block, py::arg("corner"), py::arg("travel_mm"), py::arg("rack_mm"),
               "All outputs over states of equal count: shape (outputs, states). Raises OutOfReach.");
    module.def("joints", &joints_block, py::arg("corner"), py::arg("travel_mm"), py::arg("rack_mm"),
               "Places of all points over states: shape (points, states, 3), mm, chassis frame. Raises OutOfReach.");
    bind_curves(module);
    bind_forces(module);
    bind_point_errors(module);
}

}  // namespace shimwise

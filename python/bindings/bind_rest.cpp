#include <pybind11/eigen.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/rest/forces.hpp"
#include "shimwise/rest/solid.hpp"
#include "shimwise/rest/wheel_rates.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

void bind_state(py::module_& module) {
    value_class<ChassisPose>(module, "ChassisPose", "The chassis over plumb: mm and rad.")
        .def(py::init([](double height_mm, double pitch_rad, double roll_rad, double twist_rad) {
                 return ChassisPose{height_mm, pitch_rad, roll_rad, twist_rad};
             }),
             py::arg("height_mm"), py::arg("pitch_rad"), py::arg("roll_rad"), py::arg("twist_rad") = 0.0)
        .def_readonly("height_mm", &ChassisPose::height_mm)
        .def_readonly("pitch_rad", &ChassisPose::pitch_rad)
        .def_readonly("roll_rad", &ChassisPose::roll_rad)
        .def_readonly("twist_rad", &ChassisPose::twist_rad);
    value_class<RestCorner>(module, "RestCorner", "How a corner stands at rest, beside its values.")
        .def_readonly("in_chassis", &RestCorner::in_chassis)
        .def_readonly("to_shortest_mm", &RestCorner::to_shortest_mm)
        .def_readonly("to_droop_stop_mm", &RestCorner::to_droop_stop_mm)
        .def_readonly("to_rubber_mm", &RestCorner::to_rubber_mm)
        .def_readonly("on_width_mm", &RestCorner::on_width_mm)
        .def_readonly("on_droop_stop", &RestCorner::on_droop_stop)
        .def_readonly("stop_pull_N", &RestCorner::stop_pull_N)
        .def_readonly("missing_N", &RestCorner::missing_N);
    value_class<RestEnergy>(module, "RestEnergy", "Energy at a pose of the chassis, its slope and curvature.")
        .def_readonly("energy_Nmm", &RestEnergy::energy_Nmm)
        .def_readonly("gradient", &RestEnergy::gradient)
        .def_readonly("hessian", &RestEnergy::hessian)
        .def_readonly("load_N", &RestEnergy::load_N);
    value_class<RestState>(module, "RestState", "The car at rest on its springs.")
        .def_readonly("pose", &RestState::pose)
        .def_readonly("corners", &RestState::corners)
        .def_readonly("energies_Nmm", &RestState::energies_Nmm)
        .def(
            "row",
            [](const RestState& state, const std::vector<ValueId>& outputs) { return row(state.values, outputs); },
            py::arg("outputs"), "These values, in order.");
}

void bind_variable(py::module_& module) {
    value_class<RestVariable>(module, "RestVariable", "An adjuster, a pad, a ballast or the rack.")
        .def_readonly("key", &RestVariable::key)
        .def_readonly("corner", &RestVariable::corner)
        .def_readonly("index", &RestVariable::index)
        .def_property_readonly("adjuster", [](const RestVariable& v) { return v.of == RestVariable::Of::adjuster; });
}

std::array<Xyz, 2> both_xyz(const std::array<Vec3<double>, 2>& v) { return {xyz(v[0]), xyz(v[1])}; }

void bind_rest_forces(py::module_& module) {
    value_class<Acting>(module, "Acting", "A force on a body of a corner, and where it acts: x, y, z.")
        .def_property_readonly("on", [](const Acting& a) { return body_names[index(a.on)]; })
        .def_property_readonly("at_mm", [](const Acting& a) { return xyz(a.at_mm); })
        .def_property_readonly("force_N", [](const Acting& a) { return xyz(a.force_N); });
    value_class<RestCornerForces>(module, "RestCornerForces", "Forces in a corner at rest, chassis frame of its half.")
        .def_readonly("forces", &RestCornerForces::forces)
        .def_readonly("weight", &RestCornerForces::weight)
        .def_readonly("drop_link", &RestCornerForces::drop_link)
        .def_readonly("third", &RestCornerForces::third);
    value_class<BarForces>(module, "BarForces", "A bar between drop links and bearings; left, then right.")
        .def_property_readonly("arm_mm", [](const BarForces& b) { return both_xyz(b.arm_mm); })
        .def_property_readonly("arm_N", [](const BarForces& b) { return both_xyz(b.arm_N); })
        .def_property_readonly("bearing_N", [](const BarForces& b) { return both_xyz(b.bearing_N); })
        .def_readonly("along_bearings_N", &BarForces::along_bearings_N)
        .def_readonly("torsion_Nmm", &BarForces::torsion_Nmm)
        .def_readonly("out_of_balance_N", &BarForces::out_of_balance_N);
    value_class<RestForces>(module, "RestForces", "Forces in every corner and bar of a car at rest.")
        .def_readonly("corners", &RestForces::corners)
        .def_readonly("bars", &RestForces::bars);
    module.def("rest_forces", &rest_forces, py::arg("model"), py::arg("state"),
               "Forces in every corner and in the bars of a car at rest. Raises OutOfReach.");
}

void bind_wheel_rates(py::module_& module) {
    value_class<WheelRate>(module, "WheelRate", "Load of a wheel per mm of its contact's rise, in parts.")
        .def_readonly("spring_N_per_mm", &WheelRate::spring_N_per_mm)
        .def_readonly("rubber_N_per_mm", &WheelRate::rubber_N_per_mm)
        .def_readonly("load_N_per_mm", &WheelRate::load_N_per_mm)
        .def_readonly("unsprung_N_per_mm", &WheelRate::unsprung_N_per_mm)
        .def_readonly("bar_N_per_mm", &WheelRate::bar_N_per_mm)
        .def_readonly("third_N_per_mm", &WheelRate::third_N_per_mm)
        .def_readonly("total_N_per_mm", &WheelRate::total_N_per_mm);
    value_class<AxleRates>(module, "AxleRates", "Rates of an axle's wheels, left and right; None on a droop stop.")
        .def_readonly("single", &AxleRates::single)
        .def_readonly("bump", &AxleRates::bump)
        .def_readonly("roll", &AxleRates::roll);
    module.def(
        "wheel_rates", [](const RestModel& model, const RestState& state) { return wheel_rates(model, state).axles; },
        py::arg("model"), py::arg("state"), "Wheel rates of a car at rest, the chassis held: front, rear.");
}

void bind_solid(py::module_& module) {
    value_class<SolidState>(module, "SolidState", "The car on solid struts in place of its springs and dampers.")
        .def_readonly("stands", &SolidState::stands)
        .def_readonly("over_pad_mm", &SolidState::over_pad_mm)
        .def_readonly("rocking_mm", &SolidState::rocking_mm);
    module.def("drawn_struts_mm", &drawn_struts_mm, py::arg("car"), "Eye to eye as drawn.");
    module.def("on_solid_struts", &on_solid_struts, py::arg("model"), py::arg("pads_mm"), py::arg("struts_mm"),
               "The best plane of the car on solid struts. Raises OutOfReach.");
    module.def("solid_outputs", &solid_outputs, py::arg("model"), "Values that a car on solid struts has, in order.");
}

}  // namespace

void bind_rest(py::module_& module) {
    bind_state(module);
    bind_variable(module);
    value_class<RestModel>(module, "RestModel", "The whole car as the energy at rest reads it.")
        .def_property_readonly("total_kg", &RestModel::total_kg)
        .def_property_readonly("twists", &RestModel::twists)
        .def_property_readonly("has_rack", &RestModel::has_rack)
        .def_readonly("car", &RestModel::car);
    module.attr("RIGID_CHASSIS_WORDS") = rigid_chassis_words;
    module.def("rest_model", &rest_model, py::arg("car"), "Reads a car once. Raises OutOfReach.");
    module.def("with_ballast", &with_ballast, py::arg("model"), py::arg("kg"),
               "With other ballast, kg by name. Raises InputError.");
    module.def("with_rack", &with_rack, py::arg("model"), py::arg("rack_mm"),
               "With its rack moved, + = to the left. Raises InputError.");
    module.def("on_tyres", &on_tyres, py::arg("model"), "On its tyres. Raises InputError, OutOfReach.");
    module.def("rest_outputs", &rest_outputs, py::arg("model"), "Every value of this car at rest, in order.");
    module.def("rest_variables", &rest_variables, py::arg("model"), "Adjusters, pads, ballast and the rack, in order.");
    module.def("check_pads", &check_pads, py::arg("pads_mm"), "Raises InputError where a pad is too far off.");
    module.def("rest", &rest, py::arg("model"), py::arg("pads_mm"), "The car at rest. Raises OutOfReach.");
    module.def("rest_energy", &rest_energy, py::arg("model"), py::arg("pose"), py::arg("pads_mm"),
               "Energy with the chassis held at a pose, every wheel on its pad. Raises OutOfReach.");
    bind_rest_forces(module);
    bind_wheel_rates(module);
    bind_solid(module);
}

}  // namespace shimwise

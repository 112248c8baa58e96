#include <pybind11/eigen.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/choose/other_place.hpp"
#include "shimwise/workshop/measure/off_level.hpp"
#include "shimwise/workshop/measure/packing.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {

void bind_level(py::module_& module) {
    value_class<PadClosure>(module, "PadClosure",
                            "A way round over steps from pad to pad, and how far it fails to close.")
        .def_readonly("pads", &PadClosure::pads)
        .def_readonly("off_mm", &PadClosure::off_mm)
        .def_readonly("closes", &PadClosure::closes);
    value_class<Level>(module, "Level", "How the place lies: the best plane of the four pads, and what is off it.")
        .def_readonly("pads_mm", &Level::pads_mm)
        .def_readonly("fore_aft_mm_per_m", &Level::fore_aft_mm_per_m)
        .def_readonly("across_mm_per_m", &Level::across_mm_per_m)
        .def_readonly("twist_mm", &Level::twist_mm)
        .def_readonly("off_plane_mm", &Level::off_plane_mm)
        .def_readonly("covariance", &Level::covariance)
        .def_readonly("by_pads", &Level::by_pads)
        .def_readonly("closures", &Level::closures);
    module.def("level", &level, py::arg("measured"), py::arg("car"),
               "Tilt both ways and twist. Raises InputError where the pads were not read, and OutOfReach.");

    value_class<LevelTolerance>(module, "LevelTolerance",
                                "How far off level a place may lie; common practice, no source.")
        .def(py::init<>())
        .def_readwrite("tilt_mm_per_m", &LevelTolerance::tilt_mm_per_m)
        .def_readwrite("twist_mm", &LevelTolerance::twist_mm);
    value_class<Packing>(module, "Packing", "What to put under which pad, and what is left then.")
        .def_readonly("under_mm", &Packing::under_mm)
        .def_readonly("pieces", &Packing::pieces)
        .def_readonly("pads_mm", &Packing::pads_mm)
        .def_readonly("fore_aft_mm_per_m", &Packing::fore_aft_mm_per_m)
        .def_readonly("across_mm_per_m", &Packing::across_mm_per_m)
        .def_readonly("twist_mm", &Packing::twist_mm)
        .def_readonly("share", &Packing::share)
        .def_readonly("within", &Packing::within)
        .def_readonly("proven", &Packing::proven)
        .def_readonly("looked_at", &Packing::looked_at);
    module.def("best_packing", &best_packing, py::arg("level"), py::arg("packing_mm"), py::arg("tolerance"),
               py::call_guard<py::gil_scoped_release>(),
               "The fewest pieces that bring tilt and twist inside, or come nearest. Raises InputError.");

    value_class<ShownOffLevel>(module, "ShownOffLevel", "By how much instruments show otherwise than on level pads.")
        .def_readonly("gauge_deg", &ShownOffLevel::gauge_deg)
        .def_readonly("scale_kg", &ShownOffLevel::scale_kg);
    value_class<OffLevel>(module, "OffLevel", "What tilt and twist of the pads do to camber gauges and scales.")
        .def_readonly("tilt", &OffLevel::tilt)
        .def_readonly("twist", &OffLevel::twist)
        .def_readonly("tilt_by_rates", &OffLevel::tilt_by_rates)
        .def_readonly("twist_by_rates", &OffLevel::twist_by_rates)
        .def_readonly("scales_tell", &OffLevel::scales_tell)
        .def_readonly("why_not", &OffLevel::why_not);
    module.def("off_level", &off_level, py::arg("measured"), py::arg("car"), py::arg("level"), py::arg("pads_mm"),
               "Of the car as it stood when it was read, on these pads.");

    value_class<GaugeHere>(module, "GaugeHere", "What a camber gauge shows at a wheel at another place and here.")
        .def_readonly("there_deg", &GaugeHere::there_deg)
        .def_readonly("here_deg", &GaugeHere::here_deg)
        .def_readonly("deviation_deg", &GaugeHere::deviation_deg);
    value_class<OtherPlace>(module, "OtherPlace", "What a car as it was read at another place will show here.")
        .def_readonly("values", &OtherPlace::values)
        .def_readonly("gauges", &OtherPlace::gauges);
    module.def("expect_here", &expect_here, py::arg("here"), py::arg("there"), py::arg("car"),
               "Raises InputError where the pads of a place were not read, and OutOfReach.");
}

}  // namespace shimwise

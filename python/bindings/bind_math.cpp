#include <pybind11/eigen.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/math/box_probability.hpp"
#include "shimwise/math/fewest_touched.hpp"
#include "shimwise/math/integer_least_squares.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {

void bind_math(py::module_& module) {
    const py::call_guard<py::gil_scoped_release> release;
    value_class<BoxProbability>(module, "BoxProbability", "A probability and a bound of its numerical error.")
        .def(py::init<double, double>(), py::arg("value"), py::arg("error"))
        .def_readonly("value", &BoxProbability::value)
        .def_readonly("error", &BoxProbability::error);
    module.def("probability_in_box", &probability_in_box, py::arg("mean"), py::arg("covariance"), py::arg("lower"),
               py::arg("upper"), py::arg("accuracy"),
               "Probability that normal values lie within limits, all at the same time. Raises ValueError.");
    value_class<IntegerSolution>(module, "IntegerSolution", "One choice and its cost, |A x - b|^2.")
        .def_readonly("x", &IntegerSolution::x)
        .def_readonly("cost", &IntegerSolution::cost);
    value_class<IntegerSearch>(module, "IntegerSearch", "The cheapest choices, and whether nothing cheaper is left.")
        .def_readonly("best", &IntegerSearch::best)
        .def_readonly("nodes", &IntegerSearch::nodes)
        .def_readonly("proven", &IntegerSearch::proven)
        .def_readonly("bound", &IntegerSearch::bound);
    module.def("integer_least_squares",
               py::overload_cast<const Eigen::MatrixXd&, const Eigen::VectorXd&, const std::vector<AllowedValues>&,
                                 std::size_t, std::uint64_t>(&integer_least_squares),
               py::arg("A"), py::arg("b"), py::arg("allowed"), py::arg("count"), py::arg("node_limit"), release,
               "The cheapest choices of |A x - b|^2 with x_i from allowed[i]. Raises ValueError.");
    value_class<TouchedChoice>(module, "TouchedChoice", "A choice, what it touches costs, how far from the middle.")
        .def_readonly("x", &TouchedChoice::x)
        .def_readonly("price", &TouchedChoice::price)
        .def_readonly("distance", &TouchedChoice::distance);
    value_class<TouchedSearch>(module, "TouchedSearch", "The cheapest choice inside, if any, and whether it is proven.")
        .def_readonly("best", &TouchedSearch::best)
        .def_readonly("nodes", &TouchedSearch::nodes)
        .def_readonly("proven", &TouchedSearch::proven);
    module.def("fewest_touched", &fewest_touched, py::arg("A"), py::arg("low"), py::arg("high"), py::arg("allowed"),
               py::arg("price"), py::arg("node_limit"), release,
               "The cheapest unknowns to touch with low <= A x <= high. Raises ValueError.");
}

}  // namespace shimwise

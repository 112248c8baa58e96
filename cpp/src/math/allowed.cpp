#include "math/allowed.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <stdexcept>

namespace shimwise {

void require(bool holds, const char* rule) {
    if (!holds) throw std::invalid_argument(rule);
}

void require_allowed(const std::vector<AllowedValues>& allowed, Eigen::Index unknowns) {
    require(allowed.size() == static_cast<std::size_t>(unknowns), "allowed values: one list for each column");
    for (const AllowedValues& values : allowed) {
        require(!values.empty(), "allowed values: an unknown has none");
        require(std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); }),
                "allowed values: one is not a finite number");
        require(std::is_sorted(values.begin(), values.end(), std::less_equal<>()), "allowed values: they must ascend");
    }
}

Eigen::VectorXd mean_spacing(const std::vector<AllowedValues>& allowed) {
    Eigen::VectorXd spacing(static_cast<Eigen::Index>(allowed.size()));
    for (std::size_t i = 0; i < allowed.size(); ++i) {
        const double steps = static_cast<double>(std::max<std::size_t>(allowed[i].size() - 1, 1));
        spacing(static_cast<Eigen::Index>(i)) = (allowed[i].back() - allowed[i].front()) / steps;
    }
    return spacing;
}

Eigen::VectorXd largest_outputs(const Eigen::MatrixXd& A, const std::vector<AllowedValues>& allowed) {
    Eigen::VectorXd largest(A.cols());
    for (std::size_t i = 0; i < allowed.size(); ++i)
        largest(static_cast<Eigen::Index>(i)) = std::max(std::abs(allowed[i].front()), std::abs(allowed[i].back()));
    return A.cwiseAbs() * largest;
}

}  // namespace shimwise

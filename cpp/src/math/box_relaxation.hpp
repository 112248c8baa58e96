// Least squares within limits, the bound of the whole-number search.
#pragma once

#include <Eigen/Core>
#include <vector>

namespace shimwise {

struct Relaxed {
    double cost = 0.0;   // a true lower bound
    bool exact = false;  // z is the optimum to rounding
};

/// Minimum of |R z - w|^2 over lower <= z <= upper in the leading unknowns, as many as z has: active set of Stark &
/// Parker 1995. Nothing is allocated at a call: it is the search's inner loop.
class BoxRelaxation {
public:
    explicit BoxRelaxation(const Eigen::MatrixXd& R);

    /// From a feasible z, which becomes the optimum. Convexity makes the cost a lower bound whatever z:
    /// f(x) >= f(z) + min over the box of f'(z) (x - z).
    Relaxed operator()(const Eigen::Ref<const Eigen::VectorXd>& w, const Eigen::VectorXd& lower,
                       const Eigen::VectorXd& upper, Eigen::Ref<Eigen::VectorXd> z);

private:
    char& held(Eigen::Index i) { return held_[static_cast<std::size_t>(i)]; }
    double bound(const Eigen::Ref<const Eigen::VectorXd>& w, const Eigen::VectorXd& lower, const Eigen::VectorXd& upper,
                 const Eigen::Ref<const Eigen::VectorXd>& z);
    bool advance(const Eigen::VectorXd& lower, const Eigen::VectorXd& upper, Eigen::Ref<Eigen::VectorXd> z);
    void solve_open(const Eigen::Ref<const Eigen::VectorXd>& z);
    Eigen::Index worst_held(const Eigen::VectorXd& lower, const Eigen::VectorXd& upper,
                            const Eigen::Ref<const Eigen::VectorXd>& z, double noise);

    Eigen::MatrixXd R_, gram_, factor_;
    Eigen::VectorXd q_, goal_;
    std::vector<char> held_;
    std::vector<Eigen::Index> open_;
};

}  // namespace shimwise

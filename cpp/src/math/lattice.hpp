// Short steps of a lattice.
#pragma once

#include <Eigen/Core>

namespace shimwise {

/// U of whole numbers with determinant 1 or -1 for which the columns of B U are short and nearly upright to each other
/// (Lenstra, Lenstra, Lovasz 1982). Precondition: columns of B are independent.
Eigen::MatrixXd reduced_lattice(const Eigen::MatrixXd& B);

}  // namespace shimwise

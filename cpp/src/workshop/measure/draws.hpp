// Propagation of distributions by drawing (JCGM 101:2008, 7).
#pragma once

#include "workshop/measure/sheet_model.hpp"

namespace shimwise {

/// Values of every draw, one row each; inputs are off by these parts of their errors. Throws std::domain_error where
/// one is not finite.
Eigen::MatrixXd drawn(const SheetModel& model, const Draws& draws, const std::vector<Spread InputQuantity::*>& parts);

/// Means and covariance of draws (7.6).
Uncertain spread_of(const Eigen::MatrixXd& draws);

/// The probabilistically symmetric interval that holds this share of each column (7.7).
Eigen::MatrixX2d within(Eigen::MatrixXd draws, double share);

}  // namespace shimwise

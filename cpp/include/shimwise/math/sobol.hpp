// How much of the variance of an output each input brings, alone and with the others.
#pragma once

#include <span>

namespace shimwise {

/// A share of the variance with its standard uncertainty.
struct VarianceShare {
    double share = 0.0;
    double uncertainty = 0.0;
};

struct SobolIndices {
    VarianceShare first;   // by the input alone
    VarianceShare total;   // by the input and all that it does together with others
    std::size_t rows = 0;  // that could be used
};

/// Sobol's indices of one input from the output at two independent samples, `a` and `b`, and at `ab`: the rows of `a`
/// with this input taken from `b`. First order by Saltelli et al., total by Jansen: Saltelli, Annoni, Azzini,
/// Campolongo, Ratto, Tarantola: Computer Physics Communications 181 (2010) 259, table 2 (b) and (f). Rows with a
/// number that is not finite are left out. The uncertainty is that of a ratio of two means over independent rows.
/// Shares are NaN where fewer than 2 rows are left or the output does not vary.
SobolIndices sobol_indices(std::span<const double> a, std::span<const double> b, std::span<const double> ab);

}  // namespace shimwise

// A pack of shims and how it comes out of the one that is fitted: chosen in `choose`, told in words.
#pragma once

#include <cstddef>
#include <vector>

namespace shimwise {

/// One total thickness and the shims for it that need least change: fewest shims moved, then fewest pieces, then thick
/// ones. Lists are thickest first; a shim that goes from one stack to another is removed here and added there.
struct StackChoice {
    double total_mm = 0.0;
    std::vector<double> shims_mm;
    std::vector<double> add_mm;
    std::vector<double> remove_mm;

    std::size_t moved() const { return add_mm.size() + remove_mm.size(); }
};

}  // namespace shimwise

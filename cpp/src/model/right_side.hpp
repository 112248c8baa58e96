// The right side of a car file: the mirror image of the left, with what is given for it on top.
#pragma once

#include "files/value.hpp"

namespace shimwise {

/// A right corner's table: `right` (may be null) over the mirrored `left`, key by key into sub-tables, adjusters by
/// name; a key that says a thing in another way removes the ways of the left (a spring's load for its free length).
files::Value right_corner(const files::Value& left, const files::Value* right);

}  // namespace shimwise

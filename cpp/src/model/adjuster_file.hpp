// [[corner.adjuster]] of a car file.
#pragma once

#include "files/table.hpp"
#include "shimwise/model/car.hpp"

namespace shimwise {

/// Reads one adjuster of a corner whose points are already there; `boxes` are the names under [shims].
Adjuster read_adjuster(files::Table table, const Corner& corner, const std::vector<std::string>& boxes);

/// What a corner can have turned: lengths whose parts it has.
bool has_length(const Corner& corner, Length length);

}  // namespace shimwise

// Where the demo car's files are. The folder is compiled into one unit alone: the others stay the same in every clone.
#pragma once

#include <string>

namespace shimwise::testing {

std::string demo_path(const std::string& name);

}  // namespace shimwise::testing

// What is read: a file, or what would stand in one.
#pragma once

#include <string>

namespace shimwise {

struct Source {
    std::string name;  // what a sentence about it begins with: a path, or "text"
    std::string bytes;
    bool has_lines = true;  // that whoever wrote it knows; otherwise no sentence names a line
};

/// Reads a file, once. Throws InputError where there is none or it cannot be read.
Source read_source(const std::string& path);

}  // namespace shimwise

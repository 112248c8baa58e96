// Where and why a text is no JSON, in a sentence of our own.
#pragma once

#include <string>
#include <string_view>

#include "shimwise/error.hpp"

namespace shimwise::files {

/// What the JSON parser reports, its byte (from 1) and its words, as a problem of the file: at the start of what it
/// could not take. Columns count characters.
Problem json_fault(const std::string& path, std::string_view text, std::size_t byte, std::string_view words);

}  // namespace shimwise::files

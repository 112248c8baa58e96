// A file's text.
#pragma once

#include <string>
#include <string_view>

namespace shimwise::files {

/// The bytes of a file. Throws InputError where there is none or it cannot be read.
std::string contents(const std::string& path);

/// Length of the UTF-8 sequence that starts at `at`, 0 where there is none (RFC 3629: no overlong forms, no
/// surrogates).
std::size_t utf8_length(std::string_view text, std::size_t at);

}  // namespace shimwise::files

// A file's text.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "shimwise/files/origin.hpp"
#include "shimwise/files/source.hpp"

namespace shimwise::files {

struct Text {
    std::string utf8;  // without a byte-order mark
    Origin origin;     // of the bytes as they were read
};

/// Throws InputError where it is not text.
Text read_text(const Source& source);

/// Text in UTF-8 without a byte-order mark, from UTF-8 or, where its mark says so, from UTF-16. Nothing where it is
/// broken UTF-16; UTF-8 is not looked at.
std::optional<std::string> as_utf8(std::string_view bytes);

/// Length of the UTF-8 sequence that starts at `at`, 0 where there is none (RFC 3629: no overlong forms, no
/// surrogates).
std::size_t utf8_length(std::string_view text, std::size_t at);

}  // namespace shimwise::files

#include "files/json_fault.hpp"

#include <algorithm>
#include <cctype>

namespace shimwise::files {
namespace {

bool has(std::string_view words, std::string_view part) { return words.find(part) != std::string_view::npos; }

std::string reason(std::string_view words) {
    if (has(words, "missing closing quote")) return "Unterminated string starting at";
    if (has(words, "control character")) return "Invalid control character at";
    if (has(words, "; expected end of input")) return "Extra data";
    if (has(words, "parsing object key")) return "Expecting property name enclosed in double quotes";
    if (has(words, "parsing object separator")) return "Expecting ':' delimiter";
    if (has(words, "parsing object") || has(words, "parsing array")) return "Expecting ',' delimiter";
    return "Expecting value";
}

/// Start of the string that is open at `at` or ends there; `at` itself where there is none.
std::size_t string_start(std::string_view text, std::size_t at) {
    bool inside = false;
    std::size_t start = at;
    for (std::size_t i = 0; i < std::min(at, text.size()); ++i) {
        if (inside && text[i] == '\\')
            ++i;
        else if (text[i] == '"') {
            inside = !inside;
            start = i;
        }
    }
    return inside ? start : at;
}

std::size_t start_of_fault(std::string_view text, std::size_t at, std::string_view words) {
    if (has(words, "control character") || has(words, "unexpected '") || has(words, "unexpected end")) return at;
    if (const std::size_t start = string_start(text, at); start != at) return start;
    const auto in_word = [](char c) { return std::isalnum(static_cast<unsigned char>(c)) || c == '-' || c == '.'; };
    while (at > 0 && in_word(text[at - 1])) --at;
    return at;
}

}  // namespace

Problem json_fault(const std::string& path, std::string_view text, std::size_t byte, std::string_view words) {
    const std::size_t at = start_of_fault(text, std::min(byte - std::min<std::size_t>(byte, 1), text.size()), words);
    const std::string_view before = text.substr(0, at);
    const std::size_t line = before.rfind('\n') == std::string_view::npos ? 0 : before.rfind('\n') + 1;
    const auto starts = [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; };  // of a character
    return {
        path,
        1 + static_cast<int>(std::count(before.begin(), before.end(), '\n')),
        1 + static_cast<int>(std::count_if(before.begin() + static_cast<std::ptrdiff_t>(line), before.end(), starts)),
        "",
        "",
        "is not JSON: " + reason(words)};
}

}  // namespace shimwise::files

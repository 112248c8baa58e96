#include "shimwise/files/origin.hpp"

#include <algorithm>
#include <charconv>

#include "files/sha256.hpp"
#include "files/text.hpp"

namespace shimwise {
namespace {

constexpr std::size_t digit_count = 16;

/// Lines with a key or a value of which INVENTED is said: a comment that stands alone speaks of the file.
int invented_lines(std::string_view text) {
    int count = 0;
    for (std::size_t at = text.find("INVENTED"); at != std::string_view::npos; at = text.find("INVENTED", at)) {
        const std::size_t first = text.find_first_not_of(" \t", text.rfind('\n', at) + 1);
        if (text[first] != '#') ++count;
        at = std::min(text.find('\n', at), text.size());
    }
    return count;
}

}  // namespace

Origin origin_of(std::string_view bytes) {
    Origin origin;
    const std::string sha = files::sha256(bytes);
    std::from_chars(sha.data(), sha.data() + digit_count, origin.digest, 16);
    origin.invented_lines = invented_lines(files::as_utf8(bytes).value_or(""));
    return origin;
}

std::string digits(const Origin& origin) {
    std::string all(digit_count, '0');
    for (std::size_t i = 0; i < digit_count; ++i)
        all[i] = "0123456789abcdef"[origin.digest >> 4 * (digit_count - 1 - i) & 15];
    return all;
}

}  // namespace shimwise

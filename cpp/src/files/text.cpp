#include "files/text.hpp"

#include "shimwise/error.hpp"

namespace shimwise::files {
namespace {

void append_utf8(std::string& text, char32_t c) {
    const auto follow = [&](int shift) { text += static_cast<char>(0x80 | (c >> shift & 0x3F)); };
    if (c < 0x80) {
        text += static_cast<char>(c);
    } else if (c < 0x800) {
        text += static_cast<char>(0xC0 | c >> 6);
        follow(0);
    } else if (c < 0x10000) {
        text += static_cast<char>(0xE0 | c >> 12);
        follow(6);
        follow(0);
    } else {
        text += static_cast<char>(0xF0 | c >> 18);
        follow(12);
        follow(6);
        follow(0);
    }
}

/// UTF-16 (RFC 2781) behind its mark; `low` is the place of a unit's lower byte.
std::optional<std::string> from_utf16(std::string_view bytes, std::size_t low) {
    if (bytes.size() % 2 != 0) return std::nullopt;
    const auto unit = [&](std::size_t at) -> char32_t {
        return static_cast<unsigned char>(bytes[at + low]) | static_cast<unsigned char>(bytes[at + 1 - low]) << 8;
    };
    std::string text;
    for (std::size_t at = 0; at < bytes.size(); at += 2) {
        char32_t c = unit(at);
        if (c >= 0xD800 && c <= 0xDFFF) {
            const char32_t second = at + 2 < bytes.size() ? unit(at + 2) : 0;
            if (c > 0xDBFF || second < 0xDC00 || second > 0xDFFF) return std::nullopt;
            c = 0x10000 + ((c - 0xD800) << 10) + (second - 0xDC00);
            at += 2;
        }
        append_utf8(text, c);
    }
    return text;
}

}  // namespace

Text read_text(const Source& source) {
    auto text = as_utf8(source.bytes);
    if (!text) throw InputError({{source.name, 0, 0, "", "", "starts as UTF-16 text and is none: save it as UTF-8"}});
    return {*std::move(text), origin_of(source.bytes)};
}

std::optional<std::string> as_utf8(std::string_view bytes) {
    if (bytes.starts_with("\xEF\xBB\xBF")) return std::string(bytes.substr(3));
    if (bytes.starts_with("\xFF\xFE")) return from_utf16(bytes.substr(2), 0);
    if (bytes.starts_with("\xFE\xFF")) return from_utf16(bytes.substr(2), 1);
    return std::string(bytes);
}

std::size_t utf8_length(std::string_view text, std::size_t at) {
    const auto byte = [&](std::size_t i) {
        return at + i < text.size() ? static_cast<unsigned char>(text[at + i]) : 0u;
    };
    const auto follows = [&](std::size_t i) { return byte(i) >= 0x80 && byte(i) <= 0xBF; };
    const unsigned lead = byte(0);
    if (lead < 0x80) return 1;
    if (lead >= 0xC2 && lead <= 0xDF) return follows(1) ? 2 : 0;
    if (lead >= 0xE0 && lead <= 0xEF) {
        const bool overlong = lead == 0xE0 && byte(1) < 0xA0;
        const bool surrogate = lead == 0xED && byte(1) > 0x9F;
        return follows(1) && follows(2) && !overlong && !surrogate ? 3 : 0;
    }
    if (lead >= 0xF0 && lead <= 0xF4) {
        const bool overlong = lead == 0xF0 && byte(1) < 0x90;
        const bool beyond = lead == 0xF4 && byte(1) > 0x8F;
        return follows(1) && follows(2) && follows(3) && !overlong && !beyond ? 4 : 0;
    }
    return 0;
}

}  // namespace shimwise::files

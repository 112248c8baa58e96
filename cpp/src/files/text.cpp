#include "files/text.hpp"

#include <filesystem>
#include <fstream>
#include <sstream>

#include "shimwise/error.hpp"

namespace shimwise::files {
namespace {

[[noreturn]] void fail(const std::string& path, const std::string& rule) {
    throw InputError({{path, 0, 0, "", "", rule}});
}

}  // namespace

std::string contents(const std::string& path) {
    namespace fs = std::filesystem;
    std::error_code ignored;
    const fs::file_status status = fs::status(path, ignored);
    if (!fs::exists(status)) fail(path, "there is no such file");
    if (fs::is_directory(status)) fail(path, "is a folder, a file is needed");
    std::ifstream in(path, std::ios::binary);
    std::ostringstream all;
    if (in.peek() != std::ifstream::traits_type::eof()) all << in.rdbuf();
    if (in.bad() || (in.fail() && !in.eof())) fail(path, "cannot be opened for reading");
    return all.str();
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

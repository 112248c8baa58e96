#include "shimwise/files/source.hpp"

#include <filesystem>
#include <fstream>
#include <sstream>

#include "shimwise/error.hpp"

namespace shimwise {

Source read_source(const std::string& path) {
    namespace fs = std::filesystem;
    const auto fail = [&](const std::string& rule) { throw InputError({{path, 0, 0, "", "", rule}}); };
    std::error_code ignored;
    const fs::file_status status = fs::status(path, ignored);
    if (!fs::exists(status)) fail("there is no such file");
    if (fs::is_directory(status)) fail("is a folder, a file is needed");
    std::ifstream in(path, std::ios::binary);
    std::ostringstream all;
    if (in.peek() != std::ifstream::traits_type::eof()) all << in.rdbuf();
    if (in.bad() || (in.fail() && !in.eof())) fail("cannot be opened for reading");
    return {path, all.str()};
}

}  // namespace shimwise

#include "shimwise/files/write.hpp"

#include <cstdio>
#include <filesystem>
#include <random>

#include "shimwise/error.hpp"

namespace shimwise {
namespace fs = std::filesystem;
namespace {

[[noreturn]] void fail(const std::string& path, const std::string& rule) {
    throw InputError({{path, 0, 0, "", "", rule}});
}

/// Takes the aside file away again where it did not get its name.
struct Aside {
    std::string path;
    bool kept = false;
    ~Aside() {
        std::error_code ignored;
        if (!kept) fs::remove(path, ignored);
    }
};

bool write_new(const std::string& path, std::string_view contents) {
    std::FILE* file = std::fopen(path.c_str(), "wbx");
    if (!file) return false;
    const bool written = std::fwrite(contents.data(), 1, contents.size(), file) == contents.size();
    return (std::fclose(file) == 0) && written;
}

}  // namespace

void write_file(const std::string& path, std::string_view contents, Existing existing) {
    std::error_code error;
    if (fs::is_directory(path, error)) fail(path, "is a folder, a file name is needed");
    if (existing == Existing::refuse && fs::exists(path, error)) fail(path, "exists already and is not written over");
    const fs::path folder = fs::path(path).parent_path();
    if (!folder.empty() && !fs::is_directory(folder, error)) fail(path, "there is no folder " + folder.string());
    Aside aside{path + ".part" + std::to_string(std::random_device{}())};
    if (!write_new(aside.path, contents)) fail(path, "cannot be written");
    fs::rename(aside.path, path, error);
    if (error) fail(path, "cannot be written");
    aside.kept = true;
}

}  // namespace shimwise

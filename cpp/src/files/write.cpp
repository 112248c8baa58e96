#include "shimwise/files/write.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
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

class OpenFile {
public:
    explicit OpenFile(int descriptor) : descriptor_(descriptor) {}
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    ~OpenFile() {
        if (open()) ::close(descriptor_);
    }
    bool open() const { return descriptor_ >= 0; }

    bool write(std::string_view contents) const {
        while (!contents.empty()) {
            const ssize_t written = ::write(descriptor_, contents.data(), contents.size());
            if (written < 0 && errno == EINTR) continue;
            if (written <= 0) return false;
            contents.remove_prefix(static_cast<std::size_t>(written));
        }
        return true;
    }

    /// False where the name is taken, or a file cannot be named like that here.
    bool name(const std::string& path) const {
        const std::string unnamed = "/proc/self/fd/" + std::to_string(descriptor_);
        return ::linkat(AT_FDCWD, unnamed.c_str(), AT_FDCWD, path.c_str(), AT_SYMLINK_FOLLOW) == 0;
    }

private:
    int descriptor_;
};

/// A new file that has no name before it is whole: nothing is left of it, whenever this process is killed. False where
/// the file system has no such files.
bool write_unnamed(const std::string& folder, const std::string& path, std::string_view contents) {
    const OpenFile file(::open(folder.c_str(), O_TMPFILE | O_WRONLY | O_CLOEXEC, 0666));
    return file.open() && file.write(contents) && file.name(path);
}

}  // namespace

void write_file(const std::string& path, std::string_view contents, Existing existing) {
    std::error_code error;
    if (fs::is_directory(path, error)) fail(path, "is a folder, a file name is needed");
    if (existing == Existing::refuse && fs::exists(path, error)) fail(path, "exists already and is not written over");
    const fs::path folder = fs::path(path).parent_path();
    if (!folder.empty() && !fs::is_directory(folder, error)) fail(path, "there is no folder " + folder.string());
    if (existing == Existing::refuse && write_unnamed(folder.empty() ? "." : folder.string(), path, contents)) return;
    Aside aside{path + ".part" + std::to_string(std::random_device{}())};
    if (!write_new(aside.path, contents)) fail(path, "cannot be written");
    fs::rename(aside.path, path, error);
    if (error) fail(path, "cannot be written");
    aside.kept = true;
}

}  // namespace shimwise

#include "shimwise/files/write.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <random>
#include <system_error>

#include "files/named.hpp"
#include "shimwise/error.hpp"

namespace shimwise {
namespace fs = std::filesystem;
namespace {

const char* const taken = "exists already and is not written over";

[[noreturn]] void fail(const std::string& path, const std::string& rule) {
    throw InputError({{path, 0, 0, "", "", rule}});
}

Named named(int failed) {
    if (failed == 0) return Named::yes;
    return errno == EEXIST ? Named::taken : Named::no;
}

/// A second name for a file; never in place of another one.
Named link(const std::string& from, const std::string& path) {
    return named(::linkat(AT_FDCWD, from.c_str(), AT_FDCWD, path.c_str(), AT_SYMLINK_FOLLOW));
}

std::string folder_of(const std::string& path) {
    const std::string given = fs::path(path).parent_path().string();
    return given.empty() ? "." : given;
}

class OpenFile {
public:
    OpenFile(const std::string& path, int how) : descriptor_(::open(path.c_str(), how | O_CLOEXEC, 0666)) {}
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    ~OpenFile() {
        if (open()) ::close(descriptor_);
    }
    bool open() const { return descriptor_ >= 0; }
    /// What a file without a name is called.
    std::string path() const { return "/proc/self/fd/" + std::to_string(descriptor_); }

    bool write(std::string_view contents) const {
        while (!contents.empty()) {
            const ssize_t written = ::write(descriptor_, contents.data(), contents.size());
            if (written < 0 && errno == EINTR) continue;
            if (written <= 0) return false;
            contents.remove_prefix(static_cast<std::size_t>(written));
        }
        return on_disk();
    }
    /// Some file systems have no such call.
    bool on_disk() const { return ::fsync(descriptor_) == 0 || errno == EINVAL; }

private:
    int descriptor_;
};

}  // namespace

Named write_unnamed(const std::string& folder, const std::string& path, std::string_view contents) {
    const OpenFile file(folder, O_TMPFILE | O_WRONLY);
    return file.open() && file.write(contents) ? link(file.path(), path) : Named::no;
}

Named write_aside(const std::string& path, std::string_view contents) {
    const std::string aside = path + ".part" + std::to_string(std::random_device{}());
    const OpenFile file(aside, O_CREAT | O_EXCL | O_WRONLY);
    if (!file.open()) return Named::no;
    Named is = Named::no;
    if (file.write(contents)) {
        is = link(aside, path);
        if (is == Named::no) is = named(::renameat2(AT_FDCWD, aside.c_str(), AT_FDCWD, path.c_str(), RENAME_NOREPLACE));
    }
    const int why = errno;
    ::unlink(aside.c_str());
    errno = why;
    return is;
}

void demand_new_file(const std::string& path) {
    std::error_code error;
    if (fs::is_directory(path, error)) fail(path, "is a folder, a file name is needed");
    if (fs::exists(path, error)) fail(path, taken);
    if (!fs::is_directory(folder_of(path), error)) fail(path, "there is no folder " + folder_of(path));
}

void write_new_file(const std::string& path, std::string_view contents) {
    demand_new_file(path);
    const std::string folder = folder_of(path);
    Named is = write_unnamed(folder, path, contents);
    if (is == Named::no) is = write_aside(path, contents);
    if (is == Named::taken) fail(path, taken);
    if (is == Named::no) fail(path, "cannot be written: " + std::generic_category().message(errno));
    if (const OpenFile listing(folder, O_RDONLY | O_DIRECTORY); listing.open()) listing.on_disk();
}

}  // namespace shimwise

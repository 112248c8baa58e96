// Files that tests write and read: the demo's text, one edit, a scratch folder that goes away again.
#pragma once

#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "demo_path.hpp"
#include "shimwise/error.hpp"

namespace shimwise::testing {

inline std::string text_of(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream all;
    all << in.rdbuf();
    return all.str();
}

class ScratchFolder {
public:
    ScratchFolder()
        : path_(std::filesystem::temp_directory_path() / ("shimwise_test_" + std::to_string(std::random_device{}()))) {
        std::filesystem::create_directory(path_);
    }
    ~ScratchFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;

    std::string operator/(const std::string& name) const { return (path_ / name).string(); }
    std::string write(const std::string& name, const std::string& text) const {
        std::ofstream(path_ / name, std::ios::binary) << text;
        return *this / name;
    }

private:
    std::filesystem::path path_;
};

/// `text` with the first `from` replaced; a `from` that is not there is a fault of the test. Empty `from`: all
/// replaced.
inline std::string edited(std::string text, const std::string& from, const std::string& to) {
    if (from.empty()) return to;
    const auto at = text.find(from);
    if (at == std::string::npos) throw std::logic_error("the text to edit is not there: " + from);
    return text.replace(at, from.size(), to);
}

/// The sentences of an input error without the file's path: "41:9: front_left.wheel: ..." one a line.
inline std::string sentences_without_path(const InputError& error) {
    std::string all;
    for (Problem problem : error.problems()) {
        const std::string path = problem.file;
        all += (all.empty() ? "" : "\n") + sentence(problem).substr(path.size() + 1);
    }
    return all;
}

/// One file with one fault, and the sentence that it must get.
struct BrokenFile {
    const char* kind;
    const char* from;
    const char* to;
    const char* expected;
};

/// What `load` says about `text`; empty where it takes the file.
template <class Load>
std::string complaint(const std::string& text, const Load& load) {
    const ScratchFolder folder;
    try {
        load(folder.write("broken.toml", text));
    } catch (const InputError& error) {
        return sentences_without_path(error);
    }
    return {};
}

}  // namespace shimwise::testing

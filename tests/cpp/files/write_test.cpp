#include "shimwise/files/write.hpp"

#include "catch.hpp"
#include "files_of_tests.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

std::string said(const std::string& path, Existing existing = Existing::refuse) {
    try {
        write_file(path, "new", existing);
    } catch (const InputError& error) {
        return std::string(error.what()).substr(path.size());
    }
    return {};
}

std::size_t files_in(const std::string& folder) {
    std::size_t count = 0;
    for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(folder)) ++count;
    return count;
}

}  // namespace

TEST_CASE("a file is written whole and leaves nothing beside it") {
    const ScratchFolder folder;
    write_file(folder / "card.json", "one\ntwo\n");
    CHECK(text_of(folder / "card.json") == "one\ntwo\n");
    CHECK(files_in(folder / ".") == 1);
}

TEST_CASE("an old file is written over only where that is asked for") {
    const ScratchFolder folder;
    const std::string path = folder.write("card.json", "old");
    CHECK(said(path) == ": exists already and is not written over");
    CHECK(text_of(path) == "old");
    CHECK(said(path, Existing::replace).empty());
    CHECK(text_of(path) == "new");
    CHECK(files_in(folder / ".") == 1);
}

TEST_CASE("a place that cannot be written to is said") {
    const ScratchFolder folder;
    CHECK(said(folder / ".") == ": is a folder, a file name is needed");
    CHECK(said(folder / "nowhere/card.json") == ": there is no folder " + (folder / "nowhere"));
}

#include "shimwise/files/write.hpp"

#include <array>
#include <barrier>
#include <functional>
#include <thread>

#include "catch.hpp"
#include "files/named.hpp"
#include "files_of_tests.hpp"
#include "size.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

std::string said(const std::string& path) {
    try {
        write_new_file(path, "new");
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

/// Two that write to one name at the same time, again and again: one is told that it did, and its file is there.
void race(const std::string& what, const std::function<Named(const std::string&, const std::string&)>& writes) {
    const ScratchFolder folder;
    const int races = test_size(what, 300, 3000);
    const std::array<std::string, 2> contents = {std::string(10'000, 'a'), std::string(20'000, 'b')};
    std::array<std::vector<Named>, 2> named;
    std::barrier together(2);
    const auto writer = [&](std::size_t one) {
        for (int i = 0; i < races; ++i) {
            together.arrive_and_wait();
            named[one].push_back(writes(folder / std::to_string(i), contents[one]));
        }
    };
    std::thread other(writer, 1);
    writer(0);
    other.join();
    CHECK(files_in(folder / ".") == static_cast<std::size_t>(races));
    int first = 0;
    for (std::size_t i = 0; i < named[0].size(); ++i) {
        const bool is_first = named[0][i] == Named::yes;
        REQUIRE(named[is_first ? 0 : 1][i] == Named::yes);
        REQUIRE(named[is_first ? 1 : 0][i] == Named::taken);
        REQUIRE(text_of(folder / std::to_string(i)) == contents[is_first ? 0 : 1]);
        first += is_first;
    }
    CHECK(first > 0);
    CHECK(first < races);
}

}  // namespace

TEST_CASE("a file is written whole and leaves nothing beside it") {
    const ScratchFolder folder;
    write_new_file(folder / "card.json", "one\ntwo\n");
    CHECK(text_of(folder / "card.json") == "one\ntwo\n");
    CHECK(files_in(folder / ".") == 1);
}

TEST_CASE("an old file is not written over, nor is a link that leads nowhere") {
    const ScratchFolder folder;
    const std::string path = folder.write("card.json", "old"), link = folder / "link.json";
    CHECK(said(path) == ": exists already and is not written over");
    CHECK(text_of(path) == "old");
    std::filesystem::create_symlink(folder / "nowhere", link);
    CHECK(said(link) == ": exists already and is not written over");
    CHECK(files_in(folder / ".") == 2);
}

TEST_CASE("where files without a name cannot be had it is written beside its place") {
    const ScratchFolder folder;
    const std::string path = folder / "card.json";
    CHECK(write_aside(path, "one") == Named::yes);
    CHECK(write_aside(path, "two") == Named::taken);
    CHECK(write_aside(folder / "nowhere/card.json", "three") == Named::no);
    CHECK(text_of(path) == "one");
    CHECK(files_in(folder / ".") == 1);
}

TEST_CASE("a place that cannot be written to is said") {
    const ScratchFolder folder;
    CHECK(said(folder / ".") == ": is a folder, a file name is needed");
    CHECK(said(folder / "nowhere/card.json") == ": there is no folder " + (folder / "nowhere"));
    CHECK(said(folder / std::string(300, 'a')) == ": cannot be written: File name too long");
}

TEST_CASE("a place that cannot be written to is said beforehand, and nothing is written by asking") {
    const ScratchFolder folder;
    const std::string old = folder.write("card.json", "old");
    CHECK_THROWS_AS(demand_new_file(folder / "."), InputError);
    CHECK_THROWS_AS(demand_new_file(folder / "nowhere/card.json"), InputError);
    CHECK_THROWS_AS(demand_new_file(old), InputError);
    demand_new_file(folder / "new.json");
    CHECK(files_in(folder / ".") == 1);
}

TEST_CASE("of two that write to one name at the same time one wins and the other is told") {
    race("races of two writers", [](const std::string& path, const std::string& text) {
        try {
            write_new_file(path, text);
        } catch (const InputError& error) {
            const bool told = std::string(error.what()).ends_with(": exists already and is not written over");
            return told ? Named::taken : Named::no;
        }
        return Named::yes;
    });
    race("races of two writers beside the place", write_aside);
}

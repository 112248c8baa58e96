// The table of contents compiles, and holds every public header once.
#include "shimwise/shimwise.hpp"

#include <algorithm>
#include <filesystem>
#include <sstream>
#include <string>
#include <vector>

#include "catch.hpp"
#include "files_of_tests.hpp"

using namespace shimwise;

TEST_CASE("the table of contents holds every public header once") {
    const std::filesystem::path folder = testing::demo_path("../../../cpp/include");
    std::vector<std::string> there, listed;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder))
        if (entry.path().extension() == ".hpp")
            there.push_back(std::filesystem::relative(entry.path(), folder).generic_string());
    std::istringstream contents(testing::text_of((folder / "shimwise/shimwise.hpp").string()));
    for (std::string line; std::getline(contents, line);)
        if (line.starts_with("#include \"")) listed.push_back(line.substr(10, line.size() - 11));
    listed.emplace_back("shimwise/shimwise.hpp");
    std::sort(there.begin(), there.end());
    std::sort(listed.begin(), listed.end());
    CHECK(listed == there);
}

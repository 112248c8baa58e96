#include "shimwise/error.hpp"

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("of more than forty problems the first are said and the rest counted") {
    std::vector<Problem> problems;
    for (int line = 1; line <= 42; ++line) problems.push_back({"car.toml", line, 0, "x", "", "is none"});
    const auto last_line = [](const InputError& error) {
        const std::string all = error.what();
        return all.substr(all.rfind('\n') + 1);
    };
    CHECK(last_line(InputError(problems)) == "and 2 more of such problems");
    CHECK(InputError(problems).problems().size() == 42);
    CHECK(last_line(InputError(problems, 1000)) == "and 1002 more of such problems");
    problems.resize(40);
    CHECK(last_line(InputError(problems)) == "car.toml:40: x: is none");
}

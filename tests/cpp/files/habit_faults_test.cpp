#include "files/habit_faults.hpp"

#include "catch.hpp"
#include "files/toml_reader.hpp"
#include "files_of_tests.hpp"

using namespace shimwise;

namespace {

std::string said(const std::string& text) {
    return testing::complaint("format = \"shimwise-car/1\"\n" + text,
                              [](const std::string& path) { files::read_toml(read_source(path), "car"); });
}

}  // namespace

TEST_CASE("a decimal comma is called by its name, with the field that it stands in") {
    const std::string rule = ": a number has a point, not a comma";
    CHECK(said("a = 12,5\n") == "2:5: a = 12,5" + rule);
    CHECK(said("[front_left]\ntoe = { value_deg = -0,10, tolerance_deg = 0,05 } # 1,5\n") ==
          "3:21: front_left.toe.value_deg = -0,10" + rule + "\n3:44: front_left.toe.tolerance_deg = 0,05" + rule);
    CHECK(said("[[a.b]]\r\n\"\xC3\xA9 \\\" 1,5\" = +1,5\r\n") == "3:14: a.b.\"\xC3\xA9 \\\" 1,5\" = +1,5" + rule);
}

TEST_CASE("what is not filled in is listed in full") {
    CHECK(said("[front]\ntoe = ___\nflags = { front = 41.0, rear = _____ }\npoints = [1.0, ___, 2.0]\n") ==
          "3:7: front.toe = ___: is not filled in\n4:32: front.flags.rear = _____: is not filled in\n"
          "5:16: front.points = ___: is not filled in");
}

TEST_CASE("another fault keeps its own sentence, and what is no fault is left alone") {
    CHECK(said("a = 1.5\nb = [1,5]\nc = \"1,5 ___\"\n").empty());
    CHECK(said("remarks = \"x = 1,5\"\nb 2\n") == "3:3: is not valid TOML: in key-value pair: expected '=', saw '2'");
    CHECK(said("b 2\na = 1,5\n") == "2:3: is not valid TOML: in key-value pair: expected '=', saw '2'");
}

TEST_CASE("names and tables that stand in each other without end get a sentence") {
    const std::string deep(1000, 'a');
    std::string dotted = "a";
    for (int i = 0; i < 100000; ++i) dotted += ".a";
    const std::string rule = ":1: is not valid TOML here: a name of more than 8 parts";
    CHECK(said(dotted + " = 1\n") == "2" + rule);
    CHECK(said("x = \"\"\"\n.a'.\"\n\"\"\"\n[" + dotted + "]\n") == "5" + rule);
    CHECK(said("a.b.c.d.e.f.g.h = 1\nx = '" + dotted + "' # " + dotted + "\n").empty());
    std::string tables;
    for (int i = 0; i < 100000; ++i) tables += "{ a = ";
    CHECK(said("x = " + tables) == "2:1541: is not valid TOML: in value: exceeded maximum nested value depth of 256");
}

#include "files/toml_text.hpp"

#include <bit>
#include <cmath>
#include <cstdint>
#include <random>

#include "catch.hpp"
#include "files/toml_reader.hpp"
#include "size.hpp"

using namespace shimwise;
using files::toml_key;
using files::toml_of;
using files::TomlTable;

namespace {

files::Value read(const std::string& lines) {
    return files::read_toml({"", "format = \"shimwise-car/1\"\n" + lines}, "car").root;
}

}  // namespace

TEST_CASE("numbers have the fewest digits and a point") {
    CHECK(toml_of(498.0) == "498.0");
    CHECK(toml_of(-0.0) == "-0.0");
    CHECK(toml_of(0.1) == "0.1");
    CHECK(toml_of(1e22) == "1e+22");
    CHECK(toml_of(5e-324) == "5e-324");
    CHECK(toml_of(60) == "60");
    CHECK(toml_of(true) == "true");
    CHECK(toml_of(Vec3<double>{1.0, -2.5, 0.0}) == "[1.0, -2.5, 0.0]");
    CHECK(toml_of(std::vector<double>{}) == "[]");
    CHECK(toml_of(std::vector<std::array<double, 2>>{{0.0, 0.0}, {5.0, 400.0}}) == "[[0.0, 0.0], [5.0, 400.0]]");
}

TEST_CASE("any number is read as it was written, bit for bit") {
    std::mt19937_64 random(20260101);
    const int count = test_size("any number is read as it was written", 2000, 100000);
    for (int i = 0; i < count; ++i) {
        const auto number = std::bit_cast<double>(random());
        if (!(std::abs(number) <= 1e300)) continue;
        const double again = read("a = " + toml_of(number)).find("a")->number;
        CAPTURE(number);
        REQUIRE(std::bit_cast<std::uint64_t>(again) == std::bit_cast<std::uint64_t>(number));
    }
}

TEST_CASE("texts and names are read as they were written") {
    for (const std::string text :
         {"plain", "", "a \"b\" \\ c", "tab\tand\nline", "\x7F\x01", "\xC3\xA9", "x.y", "a b", "#"}) {
        CAPTURE(text);
        TomlTable table;
        table.put(text, text);
        CHECK(read(table.lines()).find(text)->text == text);
        CHECK(read("t = " + table.on_one_line()).find("t")->find(text)->text == text);
    }
    CHECK(toml_key("camber_shim-2") == "camber_shim-2");
    CHECK(toml_key("camber shim") == "\"camber shim\"");
}

TEST_CASE("a table stands on one line or on several") {
    TomlTable inner, table;
    CHECK(table.empty());
    CHECK(table.on_one_line() == "{}");
    inner.put("b", 2.0);
    table.put("a", inner);
    table.put("names", std::vector<std::string>{"x", "y"});
    table.put_written("on", "2026-04-20");
    CHECK(table.on_one_line() == "{ a = { b = 2.0 }, names = [\"x\", \"y\"], on = 2026-04-20 }");
    CHECK(table.lines() == "a = { b = 2.0 }\nnames = [\"x\", \"y\"]\non = 2026-04-20\n");
}

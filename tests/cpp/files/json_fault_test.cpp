#include "files/json_fault.hpp"

#include <nlohmann/json.hpp>

#include "catch.hpp"

using namespace shimwise;

namespace {

/// The sentence about a text that is no JSON.
std::string fault(const std::string& text) {
    try {
        return nlohmann::json::parse(text).dump();
    } catch (const nlohmann::json::parse_error& error) {
        return sentence(files::json_fault("f", text, error.byte, error.what()));
    }
}

}  // namespace

TEST_CASE("a text that is no JSON is told by the place and what is expected there") {
    CHECK(fault("") == "f:1:1: is not JSON: Expecting value");
    CHECK(fault("# Wren\n") == "f:1:1: is not JSON: Expecting value");
    CHECK(fault("format = 1\n") == "f:1:1: is not JSON: Expecting value");
    CHECK(fault("{\"a\": 1,\n \"b\": tru}") == "f:2:7: is not JSON: Expecting value");
    CHECK(fault("[1, ]") == "f:1:5: is not JSON: Expecting value");
    CHECK(fault("{\"a\": 1") == "f:1:8: is not JSON: Expecting ',' delimiter");
    CHECK(fault("{\"a\": 12]") == "f:1:9: is not JSON: Expecting ',' delimiter");
    CHECK(fault("[1 23]") == "f:1:4: is not JSON: Expecting ',' delimiter");
    CHECK(fault("[1 \"two\"]") == "f:1:4: is not JSON: Expecting ',' delimiter");
    CHECK(fault("{\"a\" 12}") == "f:1:6: is not JSON: Expecting ':' delimiter");
    CHECK(fault("{a: 1}") == "f:1:2: is not JSON: Expecting property name enclosed in double quotes");
    CHECK(fault("{\"a\": 1, }") == "f:1:10: is not JSON: Expecting property name enclosed in double quotes");
    CHECK(fault("[\"\\\"a\", \"open]\n") == "f:1:15: is not JSON: Invalid control character at");
    CHECK(fault("[\"\\\"a\", \"open]") == "f:1:9: is not JSON: Unterminated string starting at");
    CHECK(fault("{} {}") == "f:1:4: is not JSON: Extra data");
}

TEST_CASE("columns count characters") {
    CHECK(fault("[\"\u00fc\u4e00\", x]") == "f:1:8: is not JSON: Expecting value");
}

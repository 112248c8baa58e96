#include "shimwise/files/did_you_mean.hpp"

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("edit distance counts letters inserted, deleted, replaced and swapped") {
    CHECK(edit_distance("", "toe") == 3);
    CHECK(edit_distance("camber", "camber") == 0);
    CHECK(edit_distance("cambr", "camber") == 1);
    CHECK(edit_distance("cambber", "camber") == 1);
    CHECK(edit_distance("cumber", "camber") == 1);
    CHECK(edit_distance("camebr", "camber") == 1);
    // A classic example of string-matching texts.
    CHECK(edit_distance("kitten", "sitting") == 3);
}

TEST_CASE("the nearest name is offered only where it is near") {
    const std::vector<std::string> names = {"toe", "camber", "caster"};
    CHECK(nearest_name("castor", names) == "caster");
    CHECK(nearest_name("colour", names).empty());
    CHECK(did_you_mean("cambre", names) == "; did you mean \"camber\"?");
    CHECK(did_you_mean("colour", names) == "; known are toe, camber, caster");
    CHECK(did_you_mean("colour", {}).empty());
    CHECK(did_you_mean("colour", std::vector<std::string>(9, "toe")).empty());
}

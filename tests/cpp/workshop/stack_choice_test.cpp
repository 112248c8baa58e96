#include "shimwise/workshop/stack_choice.hpp"

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("a choice of shims counts every shim that a hand moves") {
    CHECK(StackChoice{}.moved() == 0);
    CHECK(StackChoice{3.0, {2.0, 1.0}, {}, {}}.moved() == 0);
    CHECK(StackChoice{3.5, {2.0, 1.0, 0.5}, {0.5}, {}}.moved() == 1);
    CHECK(StackChoice{2.5, {2.0, 0.5}, {0.5}, {1.0}}.moved() == 2);
}

#include "shimwise/model/names.hpp"

#include <set>

#include "catch.hpp"

using namespace shimwise;

namespace {

template <class Enum, std::size_t N>
void check_list(const std::array<std::string_view, N>& names) {
    CHECK(std::set<std::string_view>(names.begin(), names.end()).size() == N);
    for (std::size_t i = 0; i < N; ++i) {
        INFO(names[i]);
        CHECK(named<Enum>(names, names[i]) == static_cast<Enum>(i));
    }
    CHECK_FALSE(named<Enum>(names, "no such name").has_value());
}

}  // namespace

TEST_CASE("every name of a list stands once, and leads back to its own") {
    check_list<CornerId>(corner_names);
    check_list<CornerId>(corner_short_names);
    check_list<Body>(body_names);
    check_list<Point>(point_names);
    check_list<Length>(length_names);
    check_list<Purpose>(purpose_names);
}

TEST_CASE("sides and ends follow from a corner's name") {
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto id = static_cast<CornerId>(c);
        CHECK(is_left(id) == corner_names[c].ends_with("_left"));
        CHECK(is_front(id) == corner_names[c].starts_with("front_"));
    }
}

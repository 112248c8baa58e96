#include "shimwise/files/fields.hpp"

#include <array>
#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "catch.hpp"
#include "shimwise/model/car.hpp"

using namespace shimwise;

namespace {

struct None {};
struct OfEveryKind {
    bool flag = true;
    std::optional<double> maybe;
    std::optional<std::vector<std::string>> words;
    std::array<std::optional<int>, 4> places;
    std::variant<int, std::string> one;
    std::map<std::string, std::vector<double>> table;
    std::pair<double, double> range = {1.0, 2.0};
    Vec3<double> at;
};

}  // namespace

TEST_CASE("the fields of a struct are counted, whatever they are") {
    CHECK(field_count<None> == 0);
    CHECK(field_count<OfEveryKind> == 8);
    CHECK(field_count<Vec3<double>> == 3);
    CHECK(field_count<Damper> == 2);
    CHECK(field_count<Car> == 19);
}

TEST_CASE("fields are references in order") {
    Damper damper{200.0, 245.0};
    auto [shortest_mm, longest_mm] = fields(damper);
    longest_mm = 250.0;
    CHECK(damper.longest_mm == 250.0);
    CHECK(&shortest_mm == &damper.shortest_mm);
    const Damper same = damper;
    CHECK(fields(same) == fields(damper));
}

#include "shimwise/files/bytes.hpp"

#include <cmath>
#include <limits>

#include "catch.hpp"
#include "demo_path.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/rest/solve.hpp"

using namespace shimwise;

namespace {

enum class Side { left, right };
struct Small {
    Side side = Side::left;
    std::optional<double> number;
    std::variant<double, std::string> either;
    bool operator==(const Small&) const = default;
};
struct OfEveryKind {
    std::string text;
    std::vector<Small> list;
    std::map<std::string, std::array<int, 2>> table;
    std::pair<double, bool> both;
    Eigen::VectorXd vector;
    Eigen::MatrixXd matrix;
    Eigen::Matrix2d square = Eigen::Matrix2d::Zero();
};

OfEveryKind filled() {
    OfEveryKind of;
    of.text = std::string("with a \0 in it", 14);
    of.list = {{Side::right, 0.1, "words"}, {Side::left, std::nullopt, -0.0}};
    of.table = {{"a", {1, 2}}, {"", {3, 4}}};
    of.both = {std::numeric_limits<double>::denorm_min(), true};
    of.vector = Eigen::VectorXd::LinSpaced(3, 0.1, 0.7);
    of.matrix = Eigen::MatrixXd::Random(2, 3);
    of.square << 1.0, 2.0, 3.0, 4.0;
    return of;
}

}  // namespace

TEST_CASE("a value comes back from its bytes bit for bit") {
    const OfEveryKind of = filled();
    const auto again = from_bytes<OfEveryKind>(bytes_of(of));
    CHECK(again.text == of.text);
    CHECK(again.list == of.list);
    CHECK(std::signbit(std::get<double>(again.list[1].either)));
    CHECK(again.table == of.table);
    CHECK(again.both == of.both);
    CHECK(again.vector == of.vector);
    CHECK(again.matrix == of.matrix);
    CHECK(again.square == of.square);
    CHECK(bytes_of(again) == bytes_of(of));
    CHECK(std::isnan(from_bytes<double>(bytes_of(std::nan("")))));
}

TEST_CASE("a car and how it stands come back from their bytes") {
    const RestModel model = rest_model(load_car(testing::demo_path("wren.toml")));
    const RestState state = rest(model);
    const std::string bytes = bytes_of(model);
    const auto again = from_bytes<RestModel>(bytes);
    CHECK(bytes_of(again) == bytes);
    CHECK(bytes_of(rest(again)) == bytes_of(state));
    CHECK(bytes_of(from_bytes<RestState>(bytes_of(state))) == bytes_of(state));
}

TEST_CASE("bytes that are of no such value are refused") {
    const std::string bytes = bytes_of(filled());
    for (std::size_t cut = 0; cut < bytes.size(); ++cut)
        CHECK_THROWS_AS(from_bytes<OfEveryKind>(bytes.substr(0, cut)), std::invalid_argument);
    CHECK_THROWS_AS(from_bytes<OfEveryKind>(bytes + "x"), std::invalid_argument);
    CHECK_THROWS_AS(from_bytes<std::string>(bytes_of(~std::size_t{0})), std::invalid_argument);
    CHECK_THROWS_AS((from_bytes<std::variant<int, bool>>(bytes_of(std::size_t{2}))), std::invalid_argument);
    CHECK_THROWS_AS(from_bytes<Eigen::Vector2d>(bytes_of(Eigen::VectorXd(3))), std::invalid_argument);
}

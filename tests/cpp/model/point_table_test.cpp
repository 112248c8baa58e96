#include "shimwise/model/point_table.hpp"

#include <algorithm>

#include "catch.hpp"
#include "demo_path.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;

namespace {

/// The points of a corner as rows, from a line on.
void add(std::vector<PointRow>& rows, const Corner& corner, int line) {
    for (std::size_t p = 0; p < point_count; ++p)
        if (const auto& at_mm = corner.points[p])
            rows.push_back({line++, corner.id, std::string(point_names[p]), *at_mm});
    if (corner.has_rocker()) rows.push_back({line, corner.id, std::string(axis_direction_name), corner.rocker_axis});
}

/// The demo car's left side, or both.
std::vector<PointRow> demo_rows(bool right_too = false) {
    const Car car = load_car(testing::demo_path("wren.toml"));
    std::vector<PointRow> rows;
    for (const Corner& corner : car.corners)
        if (right_too || is_left(corner.id)) add(rows, corner, 100 * static_cast<int>(index(corner.id)) + 2);
    return rows;
}

std::vector<std::string> said(const std::vector<PointRow>& rows, bool all_named = true) {
    std::vector<std::string> sentences;
    for (const Problem& problem : point_table_problems("t", rows, all_named)) sentences.push_back(sentence(problem));
    return sentences;
}

void take_away(std::vector<PointRow>& rows, CornerId corner, std::string_view point) {
    rows.erase(std::remove_if(rows.begin(), rows.end(),
                              [&](const PointRow& row) { return row.corner == corner && row.point == point; }),
               rows.end());
}

PointRow& row(std::vector<PointRow>& rows, CornerId corner, std::string_view point) {
    return *std::find_if(rows.begin(), rows.end(),
                         [&](const PointRow& one) { return one.corner == corner && one.point == point; });
}

using Said = std::vector<std::string>;

}  // namespace

TEST_CASE("a car's own points make a table without a fault, with and without their right side") {
    CHECK(said(demo_rows()).empty());
    CHECK(said(demo_rows(true)).empty());
    for (const PointRow& one : demo_rows(true)) {
        const std::vector<std::string> names = table_point_names();
        CHECK(std::count(names.begin(), names.end(), one.point) == 1);
    }
}

TEST_CASE("whatever row is taken out of a part is missed, unless rows could not be told") {
    const std::vector<PointRow> all = demo_rows();
    for (const PointRow& gone : all) {
        if (gone.point == "wheel.centre" || gone.point == "rocker.drop_link") continue;  // parts of their own
        std::vector<PointRow> rows = all;
        take_away(rows, gone.corner, gone.point);
        INFO(gone.point);
        REQUIRE(said(rows).size() == 1);
        CHECK(said(rows)[0].find(": without " + gone.point + ": ") != std::string::npos);
        CHECK(said(rows, false).empty());
    }
}

TEST_CASE("a row that stands twice, also without numbers, is told of where it stood first") {
    std::vector<PointRow> rows = demo_rows();
    const PointRow first = rows[3];
    rows.push_back({900, first.corner, first.point, std::nullopt});
    rows.push_back({901, first.corner, first.point, Vec3<double>{1.0, -1.0, 1.0}});
    const std::string again =
        ": front_left." + first.point + ": stands in line " + std::to_string(first.line) + " already";
    CHECK(said(rows) == Said{"t:900" + again, "t:901" + again});
}

TEST_CASE("numbers in another unit are asked about, and nothing else is said of them") {
    const auto scaled = [](double k) {
        std::vector<PointRow> rows = demo_rows();
        for (PointRow& one : rows)
            if (one.point != axis_direction_name) one.at_mm = *one.at_mm * -k;
        return said(rows);
    };
    REQUIRE(scaled(1e-3).size() == 1);
    CHECK(scaled(1e-3)[0].find(": are they metres? x_mm, y_mm and z_mm are in mm") != std::string::npos);
    REQUIRE(scaled(1.0 / 25.4).size() == 1);
    CHECK(scaled(1.0 / 25.4)[0].find(": are they inches or centimetres?") != std::string::npos);
}

TEST_CASE("a column the wrong way round is told once, one point by its line") {
    std::vector<PointRow> rows = demo_rows(true);
    for (PointRow& one : rows) one.at_mm->y = -one.at_mm->y;
    CHECK(said(rows) ==
          Said{"t: every y is on the wrong side: y points to the left here, turn the sign of the whole column"});
    rows = demo_rows();
    for (PointRow& one : rows) one.at_mm->x = -one.at_mm->x;
    CHECK(said(rows) ==
          Said{"t: every wishbone's front lies behind its rear: x points forward, turn the sign of the whole column"});

    rows = demo_rows(true);
    row(rows, CornerId::front_left, "wheel.centre").at_mm->y = -600.0;
    row(rows, CornerId::rear_right, "spring.chassis").at_mm->y = 250.0;  // across the car
    row(rows, CornerId::front_right, "rocker.axis_point").at_mm->y = 0.0;
    row(rows, CornerId::front_right, "pushrod.inner").at_mm->y = 2.5;
    row(rows, CornerId::rear_left, "wheel.centre").at_mm->x = 1e4;
    const auto line = [&](CornerId corner, std::string_view point) {
        return "t:" + std::to_string(row(rows, corner, point).line) + ": ";
    };
    const PointRow& front = row(rows, CornerId::front_left, "wheel.centre");
    CHECK(said(rows) ==
          Said{line(CornerId::front_left, "wheel.centre") +
                   "front_left.wheel.centre y_mm = -600: is on the wrong side: y is above 0 on the left",
               line(CornerId::front_right, "pushrod.inner") +
                   "front_right.pushrod.inner y_mm = 2.5: is on the wrong side: y is below 0 on the right",
               line(CornerId::rear_left, "wheel.centre") +
                   "rear_left.wheel.centre x_mm = 10000: must lie behind the front axle (x " +
                   std::to_string(static_cast<int>(front.at_mm->x)) + " in line " + std::to_string(front.line) + ")"});
}

TEST_CASE("a right side needs its left one, row by row or whole") {
    std::vector<PointRow> rows = demo_rows();
    const double x_mm = row(rows, CornerId::front_left, "wheel.centre").at_mm->x;
    rows.push_back({900, CornerId::front_right, "drop_link.outer", Vec3<double>{x_mm, -500.0, 150.0}});
    CHECK(said(rows) ==
          Said{"t:900: front_right.drop_link.outer: is given on the right alone: front_left needs it too, or neither"});
    CHECK(said(rows, false).empty());

    rows = demo_rows(true);
    rows.erase(
        std::remove_if(rows.begin(), rows.end(), [](const PointRow& one) { return one.corner == CornerId::rear_left; }),
        rows.end());
    CHECK(said(rows) ==
          Said{"t:302: rear_right: is given without rear_left: turn the sign of y, and call the rows rear_left"});
}

TEST_CASE("a spring is on a rocker or has both its eyes") {
    std::vector<PointRow> rows = demo_rows();
    rows.push_back({900, CornerId::front_left, "spring.outer", Vec3<double>{0.0, 500.0, 150.0}});
    rows.push_back({901, CornerId::front_left, "drop_link.outer", Vec3<double>{0.0, 500.0, 150.0}});
    CHECK(said(rows) == Said{"t:900: front_left.spring.outer: a spring on a rocker has its outer eye at rocker.spring",
                             "t:901: front_left.drop_link.outer: with a rocker the drop link is at rocker.drop_link"});
    for (const std::string_view point : rocker_rows)
        if (point != "spring.chassis") take_away(rows, CornerId::front_left, point);
    take_away(rows, CornerId::front_left, "rocker.drop_link");
    CHECK(said(rows).empty());
    take_away(rows, CornerId::front_left, "spring.outer");
    const std::string line = std::to_string(row(rows, CornerId::front_left, "spring.chassis").line);
    CHECK(said(rows) ==
          Said{"t:" + line + ": front_left: without spring.outer: a spring without rocker is given by both eyes"});
}

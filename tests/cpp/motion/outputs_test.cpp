#include "shimwise/motion/outputs.hpp"

#include <string>
#include <vector>

#include "catch.hpp"
#include "motion/corners.hpp"

using namespace shimwise;
using namespace corners;

TEST_CASE("a column's name carries its unit") {
    std::vector<std::string> names;
    for (const Output o : {Output::toe, Output::trail, Output::motion_ratio, Output::bump_steer})
        names.push_back(column_name(output_list[index(o)]));
    CHECK(names == std::vector<std::string>{"toe_deg", "trail_mm", "motion_ratio", "bump_steer_deg_per_mm"});
    CHECK(column_name({"gain", "1/mm", true, ""}) == "gain_per_mm");
    CHECK(column_names().size() == output_count);
    CHECK(column_names()[index(Output::camber_gain)] == "camber_gain_deg_per_mm");
}

TEST_CASE("the frame over a ground is right-handed, and its x is the chassis' own laid onto it") {
    const Vec3<double> normal = unit({0.02, -0.03, 1.0});
    const Frame f = frame_over(normal);
    for (const Vec3<double>& axis : {f.x, f.y, f.z}) CHECK_NEAR(length(axis), 1.0, 1e-15);
    CHECK(length(cross(f.x, f.y) - f.z) <= 1e-15);
    CHECK(length(f.z - normal) == 0.0);
    CHECK_NEAR(dot(f.y, Vec3<double>{1.0, 0.0, 0.0}), 0.0, 1e-15);
    CHECK(f.x.x > 0.99);
}

TEST_CASE("outputs that do not depend on the frame are the same in any") {
    for (const Kind& kind : kinds()) {
        INFO(kind.name());
        const Setup s = turned(kind, 1);
        const Linkage<double> l = linked(s);  // reads the geometry of `s`
        const Pose<double> p = pose(l, 0.01);
        const Outputs<double> level = outputs(l, p, strut(l, p), Frame{});
        const Outputs<double> leaning = outputs(l, p, strut(l, p), tilted(kind.left));
        for (std::size_t o = 0; o < output_count; ++o) {
            INFO(output_list[o].name);
            CHECK((level[o] == leaning[o]) == !output_list[o].depends_on_frame);
        }
    }
}

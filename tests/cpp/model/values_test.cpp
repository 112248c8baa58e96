#include "shimwise/model/values.hpp"

#include <set>

#include "catch.hpp"

using namespace shimwise;

TEST_CASE("every value has a name of its own, and a target a way to be judged") {
    std::set<std::string_view> names;
    const auto see = [&names](const ValueInfo& info) {
        INFO(info.name);
        CHECK(names.insert(info.name).second);
        CHECK((info.minus.empty() || !info.plus.empty()));
        CHECK((!info.target || info.purpose));
        CHECK((!info.common_tolerance || *info.common_tolerance > 0.0));
        CHECK(((info.needs != ValueNeeds::bar && info.needs != ValueNeeds::third) || info.axle));
    };
    for (const ValueInfo& info : output_list) see(info);
    for (const ValueInfo& info : corner_load_list) see(info);
    for (const ValueInfo& info : car_output_list) see(info);
    see(ride_height_info);
}

TEST_CASE("a column's name carries the unit") {
    CHECK(column_name("toe", "deg") == "toe_deg");
    CHECK(column_name("bump_steer", "deg/mm") == "bump_steer_deg_per_mm");
    CHECK(column_name("motion_ratio_gain", "1/mm") == "motion_ratio_gain_per_mm");
    CHECK(column_name("motion_ratio", "") == "motion_ratio");
    CHECK(column_names().size() == output_count);
}

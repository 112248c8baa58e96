// Skid files: what is read of them, and broken ones with the exact sentences that they get.
#include "shimwise/workshop/files/skid.hpp"

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

// Invented.
const char* const good = R"(format = "shimwise-skid/1"
new_mm = 25.0
least_mm = 20.0
gauge_uncertainty_mm = 0.05
points = { nose = [-250.0, 0.0, -5.0], tail = [-2100.0, 0.0, -5.0] }
[[check]]
distance_km = 0.0
thickness_mm = { nose = 25.0, tail = 25.1 }
ride_height_mm = { front_left = 30.0, rear_left = 42.0 }
[[check]]
distance_km = 80.0
thickness_mm = { nose = 24.2 }
[[check]]
distance_km = 170.0
thickness_mm = { nose = 23.5, tail = 24.6 }
ride_height_mm = { front_left = 29.0 }
)";

// clang-format off
const std::vector<BrokenFile> broken = {
    {"another kind of file", "shimwise-skid/1", "shimwise-card/1",
     "1:10: format = \"shimwise-card/1\": this is a card file, a skid file is needed (\"shimwise-skid/1\")"},
    {"a newer format", "shimwise-skid/1", "shimwise-skid/2",
     "1:10: format = \"shimwise-skid/2\": is newer than this version of shimwise, which reads up to \"shimwise-skid/1\""},
    {"empty", "", "",
     "1:1: format: is missing: the file needs the line format = \"shimwise-skid/1\""},
    {"no TOML", "points = {", "points = {{",
     "5:11: is not valid TOML: in inline table: expected key or closing '}', saw '{'"},
    {"a decimal comma", "0.05", "0,05",
     "4:24: gauge_uncertainty_mm = 0,05: a number has a point, not a comma"},
    {"an unknown key", "least_mm", "least_m",
     "3:1: least_m = 20.0: is not a key here; did you mean \"least_mm\"?"},
    {"no gauge", "gauge_uncertainty_mm = 0.05\n", "",
     "1:1: gauge_uncertainty_mm: is missing: needs a number"},
    {"a gauge without error", "0.05", "0.0",
     "4:24: gauge_uncertainty_mm = 0.0: must be 0.0001 or more: no gauge reads finer"},
    {"a gauge as coarse as the wear", "0.05", "5.0",
     "4:24: gauge_uncertainty_mm = 5.0: is no less than all that may wear off, 5 mm"},
    {"a gauge that is none", "0.05", "nan",
     "4:24: gauge_uncertainty_mm = nan: must be a finite number"},
    {"a gauge as text", "0.05", "\"0.05\"",
     "4:24: gauge_uncertainty_mm = \"0.05\": needs a number"},
    {"nothing new", "new_mm = 25.0", "new_mm = 0.0",
     "2:10: new_mm = 0.0: must be more than 0"},
    {"thinner new than worn", "new_mm = 25.0", "new_mm = 19.0",
     "3:12: least_mm = 20.0: must be less than a new skid's 19 mm"},
    {"a negative least thickness", "least_mm = 20.0", "least_mm = -20.0",
     "3:12: least_mm = -20.0: must not be negative"},
    {"no points", "points = { nose = [-250.0, 0.0, -5.0], tail = [-2100.0, 0.0, -5.0] }\n", "",
     "1:1: points: is missing: needs a table"},
    {"empty points", "{ nose = [-250.0, 0.0, -5.0], tail = [-2100.0, 0.0, -5.0] }", "{}",
     "5:10: points: is empty: needs a point where the thickness is read, such as nose = [-100, 0, 0]"},
    {"a point of two numbers", "[-250.0, 0.0, -5.0]", "[-250.0, 0.0]",
     "5:19: points.nose = [-250.0, 0.0]: has 2 numbers, needs 3 (x, y, z)"},
    {"a point in the next town", "[-250.0, 0.0, -5.0]", "[-250000.0, 0.0, -5.0]",
     "5:19: points.nose = [-250000.0, 0.0, -5.0]: lies more than 20 m from the origin"},
    {"a point that is none", "tail = 24.6", "tali = 24.6",
     "15:38: check[3].thickness_mm.tali = 24.6: is no point of this file; did you mean \"tail\"?"},
    {"no distance", "distance_km = 80.0\n", "",
     "10:1: check[2].distance_km: is missing: needs a number"},
    {"a negative distance", "distance_km = 0.0", "distance_km = -1.0",
     "7:15: check[1].distance_km = -1.0: must not be negative"},
    {"a distance backward", "distance_km = 170.0", "distance_km = 17.0",
     "14:15: check[3].distance_km = 17.0: is less than at the check before, 80 km: distances count on, and may begin anew where new = true"},
    {"no run", "distance_km = 80.0", "distance_km = 0.01",
     "11:15: check[2].distance_km = 0.01: is less than 0.1 km after the check before: no run"},
    {"a distance round the earth", "distance_km = 170.0", "distance_km = 170000.0",
     "14:15: check[3].distance_km = 170000.0: is more than 100000 km, farther than any skid runs"},
    {"no thickness", "thickness_mm = { nose = 24.2 }\n", "",
     "10:1: check[2].thickness_mm: is missing: needs a table"},
    {"an empty thickness", "thickness_mm = { nose = 24.2 }", "thickness_mm = {}",
     "12:16: check[2].thickness_mm: is empty: needs a thickness at a point or more"},
    {"worn through", "nose = 24.2", "nose = 0.0",
     "12:25: check[2].thickness_mm.nose = 0.0: must be more than 0"},
    {"thicker than new", "tail = 25.1", "tail = 25.6",
     "8:38: check[1].thickness_mm.tail = 25.6: is more than 0.5 mm thicker than a new skid's 25 mm"},
    {"growing", "nose = 23.5", "nose = 24.5",
     "15:25: check[3].thickness_mm.nose = 24.5: is 0.3 mm thicker than when it was read before, and the gauge explains 0.212132 mm: if the skid was changed, say new = true"},
    {"new as a text", "distance_km = 80.0", "distance_km = 80.0\nnew = \"yes\"",
     "12:7: check[2].new = \"yes\": needs true or false"},
    {"a ride height of nothing", "front_left = 29.0", "front_left = 0.0",
     "16:33: check[3].ride_height_mm.front_left = 0.0: must be more than 0"},
    {"a ride height of a lorry", "front_left = 29.0", "front_left = 2900.0",
     "16:33: check[3].ride_height_mm.front_left = 2900.0: is more than 1000 mm"},
    {"checks that are no list", "", "format = \"shimwise-skid/1\"\ngauge_uncertainty_mm = 0.05\npoints = { nose = [0.0, 0.0, 0.0] }\n[check]\ndistance_km = 0.0\n",
     "4:1: check: needs tables, each under [[check]]"},
    {"no checks", "", "format = \"shimwise-skid/1\"\ngauge_uncertainty_mm = 0.05\npoints = { nose = [0.0, 0.0, 0.0] }\ncheck = []\n",
     "4:9: check = []: needs a table [[check]] for every time that the thickness was read"},
    {"a check of many faults", "distance_km = 170.0\nthickness_mm = { nose = 23.5, tail = 24.6 }", "distance_km = inf\nnew = 1\nthickness_mm = { nose = 0.0, tail = 99.0, third = 1.0 }\nmore = 1",
     "14:15: check[3].distance_km = inf: must be a finite number\n"
     "15:7: check[3].new = 1: needs true or false\n"
     "16:25: check[3].thickness_mm.nose = 0.0: must be more than 0\n"
     "16:37: check[3].thickness_mm.tail = 99.0: is more than 0.5 mm thicker than a new skid's 25 mm\n"
     "16:51: check[3].thickness_mm.third = 1.0: is no point of this file; known are nose, tail\n"
     "17:1: check[3].more = 1: is not a key here; known are new, distance_km, thickness_mm, ride_height_mm"},
};
const std::vector<BrokenFile> broken_for_the_car = {
    {"a ride height that the car has not", "rear_left = 42.0", "rear_lfet = 42.0",
     "9:51: check[1].ride_height_mm.rear_lfet = 42.0: is no ride-height point of the car; did you mean \"rear_left\"?"},
    {"a skid under the ground", "nose = [-250.0, 0.0, -5.0]", "nose = [-250.0, 0.0, -50.0]",
     "5:19: points.nose = [-250.0, 0.0, -50.0]: lies 18.7203 mm below the ground that Wren is drawn on: z is that of a new skid's underside"},
};
// clang-format on

}  // namespace

TEST_CASE("a broken skid file gets one sentence per fault") {
    const Car car = load_car(demo_path("wren.toml"));
    const auto for_the_car = [&](const std::string& path) { skid_from(read_source(path), car); };
    CHECK(complaint(good, load_skid).empty());
    CHECK(complaint(good, for_the_car).empty());
    for (const BrokenFile& file : broken) {
        INFO(file.kind);
        CHECK(complaint(edited(good, file.from, file.to), load_skid) == file.expected);
        CHECK(complaint(edited(good, file.from, file.to), for_the_car) == file.expected);
    }
    for (const BrokenFile& file : broken_for_the_car) {
        INFO(file.kind);
        CHECK(complaint(edited(good, file.from, file.to), for_the_car) == file.expected);
    }
}

TEST_CASE("what a check leaves out of ride heights stays as it was, what a car says of a new skid counts") {
    const ScratchFolder folder;
    const std::string path = folder.write("skid.toml", edited(good, "new_mm = 25.0\nleast_mm = 20.0\n", ""));
    const Skid skid = load_skid(path);
    CHECK(skid.new_mm == 25.0);
    CHECK(skid.least_mm == 20.0);
    CHECK(skid.new_is_common_practice);
    CHECK(skid.least_is_common_practice);
    REQUIRE(skid.checks.size() == 3);
    CHECK(skid.checks[1].ride_height_mm == skid.checks[0].ride_height_mm);
    CHECK(skid.checks[2].ride_height_mm == std::map<std::string, double>{{"front_left", 29.0}, {"rear_left", 42.0}});
    CHECK(skid.checks[1].thickness_mm == std::map<std::string, double>{{"nose", 24.2}});

    Car car = load_car(demo_path("wren.toml"));
    car.skid_new_mm = 26.0;
    const Skid of_car = skid_from(read_source(path), car);
    CHECK(of_car.new_mm == 26.0);
    CHECK_FALSE(of_car.new_is_common_practice);
    const auto for_the_car = [&](const std::string& file) { skid_from(read_source(file), car); };
    CHECK(complaint(good, for_the_car) == "2:10: new_mm = 25.0: the car file says skid_new_mm = 26");
}

TEST_CASE("a changed skid may be thicker, and its distance begin anew") {
    const std::string changed = edited(edited(good, "distance_km = 170.0", "new = true\ndistance_km = 0.0"), "nose = 23.5", "nose = 25.0");
    CHECK(complaint(changed, load_skid).empty());
    CHECK_FALSE(complaint(edited(changed, "new = true", "new = false"), load_skid).empty());
    // Of a point that was not read when the skid was changed, no reading of the old one counts.
    const std::string later = "[[check]]\ndistance_km = 60.0\nthickness_mm = { nose = 24.5, tail = 24.9 }\n";
    const std::string unread = edited(changed, "{ nose = 25.0, tail = 24.6 }", "{ nose = 25.0 }") + later;
    CHECK(complaint(edited(unread, "tail = 25.1", "tail = 21.0"), load_skid).empty());
    // Within three times what a difference of two readings is unsure of, 0.212 mm, it may be the gauge.
    CHECK(complaint(edited(good, "nose = 23.5", "nose = 24.41"), load_skid).empty());
    CHECK_FALSE(complaint(edited(good, "nose = 23.5", "nose = 24.42"), load_skid).empty());
}

// Sweep files: what is read of them, and broken ones with the exact sentences that they get.
#include "shimwise/workshop/files/sweep_file.hpp"

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;
using namespace shimwise::testing;

namespace {

// Invented.
const char* const good = R"(format = "shimwise-sweep/1"
moved = "built"
outputs = ["front_left.toe", "camber"]
sample = 5
seed = 3
[[input]]
name = "front_left.track rod"
values = [-0.5, 0.5]
along = "rods"
change = true
[[input]]
name = "front_right.track rod"
from = -0.5
to = 0.5
count = 2
along = "rods"
[[input]]
name = "front_left.camber shim"
among = [[2.0], [2.0, 0.5]]
[[input]]
name = "rear_left.track_rod.inner.z"
value = 150.0
[[input]]
name = "travel_mm"
between = [-5.0, 5.0]
[points]
within_mm = 0.5
of = ["front_left.track_rod.inner", "front_right"]
)";

// clang-format off
const std::vector<BrokenFile> broken = {
    {"another kind of file", "shimwise-sweep/1", "shimwise-skid/1",
     "1:10: format = \"shimwise-skid/1\": this is a skid file, a sweep file is needed (\"shimwise-sweep/1\")"},
    {"a newer format", "shimwise-sweep/1", "shimwise-sweep/2",
     "1:10: format = \"shimwise-sweep/2\": is newer than this version of shimwise, which reads up to \"shimwise-sweep/1\""},
    {"nothing set", "", "format = \"shimwise-sweep/1\"\noutputs = [\"toe\"]\n",
     "1:1: input: needs a table [[input]] for everything that is set"},
    {"an empty list of inputs", "", "format = \"shimwise-sweep/1\"\noutputs = [\"toe\"]\ninput = []\n",
     "3:9: input = []: needs a table [[input]] for everything that is set"},
    {"an input that is no list", "", "format = \"shimwise-sweep/1\"\noutputs = [\"toe\"]\n[input]\nname = \"travel_mm\"\n",
     "3:1: input: needs tables, each under [[input]]"},
    {"points that are no table", "", "format = \"shimwise-sweep/1\"\noutputs = [\"toe\"]\nsample = 5\npoints = \"all\"\n",
     "4:10: points = \"all\": needs a table"},
    {"no outputs", "outputs = [\"front_left.toe\", \"camber\"]\n", "",
     "1:1: outputs: is missing: needs a list of names in quotes"},
    {"an unknown output", "\"camber\"", "\"cambre\"",
     "3:11: outputs = [\"front_left.toe\", \"cambre\"]: \"cambre\" is not known; did you mean \"camber\"?"},
    {"an output of the car at rest", "\"camber\"", "\"cross_weight\"",
     "3:11: outputs = [\"front_left.toe\", \"cross_weight\"]: \"cross_weight\" is of hold = \"rest\", and it is \"wheel\""},
    {"nothing held so", "moved = \"built\"", "moved = \"built\"\nhold = \"rim\"",
     "3:8: hold = \"rim\": needs one of wheel, contact, spring, rest"},
    {"travel at rest", "moved = \"built\"", "moved = \"built\"\nhold = \"rest\"",
     "25:8: input[5].name = \"travel_mm\": is nothing that can be swept with hold = \"rest\""},
    {"points that move no way", "moved = \"built\"\n", "",
     "1:1: moved: is missing: needs one of drawn, built"},
    {"a name twice", "\"front_right.track rod\"", "\"front_left.track rod\"",
     "12:8: input[2].name = \"front_left.track rod\": is there twice"},
    {"a corner that the car has not", "\"front_right.track rod\"", "\"front_middle.track rod\"",
     "12:8: input[2].name = \"front_middle.track rod\": is nothing that can be swept with hold = \"wheel\"; did you mean \"front_right.track rod\"?"},
    {"two ways at once", "values = [-0.5, 0.5]", "values = [-0.5, 0.5]\nvalue = 0.5",
     "8:10: input[1].values = [-0.5, 0.5]: is one way of saying its values, and \"value\" another: give one\n"
     "10:9: input[1].along = \"rods\": is for values or a range"},
    {"no way", "values = [-0.5, 0.5]\n", "",
     "6:1: input[1].values: is missing: needs value, values, from, between or among"},
    {"no values", "[-0.5, 0.5]", "[]",
     "8:10: input[1].values = []: has no values"},
    {"beyond a limit", "[-0.5, 0.5]", "[-0.5, 50.0]",
     "8:10: input[1].values = [-0.5, 50.0]: 50: limits_turns excludes the setting of 50 turns: allowed are -6 to 6"},
    {"words that say nothing", "[-0.5, 0.5]", "[\"+2 flats\", \"+2 flits\"]",
     "8:10: input[1].values = [\"+2 flats\", \"+2 flits\"]: '+2 flits': needs a number with turns, half turns, flats, quarter flats, steps or mm, such as +2 flats (longer than it stands) or =2 flats (from as drawn)"},
    {"dates", "[-0.5, 0.5]", "[2026-05-02]",
     "8:10: input[1].values = [2026-05-02]: needs numbers, packs of shims such as [2.0, 0.5], or words"},
    {"a range without an end", "to = 0.5\n", "",
     "11:1: input[2].to: is missing: needs a number"},
    {"a range of one", "count = 2", "count = 1",
     "15:9: input[2].count = 1: needs 2 to 1000000 values, both ends included"},
    {"a range of a billion", "count = 2", "count = 1000000000",
     "15:9: input[2].count = 1000000000: needs 2 to 1000000 values, both ends included"},
    {"along an input", "along = \"rods\"", "along = \"travel_mm\"",
     "9:9: input[1].along = \"travel_mm\": needs a name that is neither \"sample\" nor that of an input"},
    {"along a column", "along = \"rods\"", "along = \"status\"",
     "9:9: input[1].along = \"status\": is the name of a column"},
    {"along with more", "count = 2", "count = 3",
     "16:9: input[2].along = \"rods\": goes with front_left.track rod, which has 2 values, and this has 3"},
    {"ends that are swapped", "[-5.0, 5.0]", "[5.0, -5.0]",
     "25:11: input[5].between = [5.0, -5.0]: the smaller number must stand first"},
    {"drawn among nothing", "[[2.0], [2.0, 0.5]]", "[]",
     "19:9: input[3].among = []: has no values"},
    {"no sample", "sample = 5\n", "",
     "1:1: sample: is missing: needs a whole number"},
    {"a sample of none", "sample = 5", "sample = 0",
     "4:10: sample = 0: must be 1 or more"},
    {"a negative seed", "seed = 3", "seed = -3",
     "5:8: seed = -3: must not be negative"},
    {"a way to draw that is none", "seed = 3", "by = \"dice\"",
     "5:6: by = \"dice\": needs one of latin_hypercube, random"},
    {"a set point that is drawn", "rear_left.track_rod.inner.z", "front_left.track_rod.inner.z",
     "21:8: input[4].name = \"front_left.track_rod.inner.z\": is drawn by [points] too: give one"},
    {"a set point of a drawn corner", "rear_left.track_rod.inner.z", "front_right.wheel.centre.z",
     "21:8: input[4].name = \"front_right.wheel.centre.z\": is drawn by [points] too: give one"},
    {"a set point where all are drawn", "of = [\"front_left.track_rod.inner\", \"front_right\"]\n", "",
     "21:8: input[4].name = \"rear_left.track_rod.inner.z\": is drawn by [points] too: give one"},
    {"points that the car has not", "\"front_right\"]", "\"front_rihgt\"]",
     "28:6: points.of = [\"front_left.track_rod.inner\", \"front_rihgt\"]: \"front_rihgt\" is no corner and no point; did you mean \"front_right\"?"},
    {"points that stay", "within_mm = 0.5", "within_mm = 0.0",
     "27:13: points.within_mm = 0.0: must be more than 0 and at most 1000"},
    {"shims that are not said", "", "format = \"shimwise-sweep/1\"\noutputs = [\"toe\"]\nat_hand = true\n[[input]]\nname = \"front_left.camber shim\"\nvalues = [2.0, 2.5]\n",
     "6:10: input[1].values = [2.0, 2.5]: needs its packs by their shims, such as [2.0, 0.5], for at_hand"},
    {"drawn shims that are not said", "", "format = \"shimwise-sweep/1\"\noutputs = [\"toe\"]\nat_hand = true\nsample = 5\n[[input]]\nname = \"front_left.camber shim\"\nbetween = [2.0, 2.5]\n",
     "7:11: input[1].between = [2.0, 2.5]: needs its packs by their shims, such as [2.0, 0.5], for at_hand"},
    {"no shims at all", "seed = 3", "seed = 3\nat_hand = 1",
     "6:11: at_hand = 1: needs true or false"},
    {"an unknown key", "change = true", "changes = true",
     "10:1: input[1].changes = true: is not a key here; did you mean \"change\"?"},
};
// clang-format on

}  // namespace

TEST_CASE("a broken sweep file gets one sentence per fault") {
    const Car car = load_car(demo_path("wren.toml"));
    const auto load = [&](const std::string& path) { sweep_file_from(read_source(path), car); };
    CHECK(complaint(good, load).empty());
    for (const BrokenFile& file : broken) {
        INFO(file.kind);
        CHECK(complaint(edited(good, file.from, file.to), load) == file.expected);
    }
}

TEST_CASE("what a sweep file asks for is read as it is written") {
    const ScratchFolder folder;
    const Car car = load_car(demo_path("wren.toml"));
    const SweepFile sweep = sweep_file_from(read_source(folder.write("sweep.toml", good)), car);
    CHECK(sweep.hold == SweepHold::wheel);  // since travel is set
    CHECK(sweep.moved == Moved::built);
    CHECK(sweep.outputs == std::vector<std::string>{"front_left.toe", "camber"});
    CHECK(sweep.sample == 5);
    CHECK(sweep.by == Sampling::latin_hypercube);
    CHECK(sweep.seed == 3);
    CHECK_FALSE(sweep.at_hand);
    REQUIRE(sweep.inputs.size() == 5);
    CHECK(sweep.inputs[0].values == std::vector<SweepValue>{-0.5, 0.5});
    CHECK(sweep.inputs[0].change);
    CHECK(sweep.inputs[0].along == "rods");
    CHECK(sweep.inputs[1].values == std::vector<SweepValue>{-0.5, 0.5});
    CHECK_FALSE(sweep.inputs[1].change);
    CHECK(sweep.inputs[2].among);
    CHECK(sweep.inputs[2].values == std::vector<SweepValue>{std::vector<double>{2.0}, std::vector<double>{2.0, 0.5}});
    CHECK(sweep.inputs[3].single);
    CHECK(sweep.inputs[4].between == std::pair(-5.0, 5.0));
    REQUIRE(sweep.points.has_value());
    CHECK(sweep.points->within_mm == 0.5);
    CHECK(sweep.points->of.size() == 2);

    const std::string still = edited(edited(good, "[[input]]\nname = \"travel_mm\"\nbetween = [-5.0, 5.0]\n", ""),
                                     "from = -0.5\nto = 0.5\ncount = 2", "from = -0.1\nto = 0.2\ncount = 2");
    const SweepFile other = sweep_file_from(read_source(folder.write("still.toml", still)), car);
    CHECK(other.hold == SweepHold::contact);
    CHECK(other.inputs[1].values == std::vector<SweepValue>{-0.1, 0.2});
}

TEST_CASE("an output that one corner cannot give is refused by any of its names") {
    Car car = load_car(demo_path("wren.toml"));
    Spring& spring = car[CornerId::rear_right].spring;
    spring.load_at_drawn_N.reset();
    spring.rests_as_drawn = true;
    const auto load = [&](const std::string& path) { sweep_file_from(read_source(path), car); };
    const auto asked = [&](const std::string& name) { return complaint(edited(good, "camber", name), load); };
    const std::string why = "\" cannot be given: the spring rests as drawn, so the file gives no load";
    for (const char* name : {"rear_right.spring_load", "rear_right.spring_load_N", "spring_load", "spring_load_N"}) {
        INFO(name);
        CHECK(asked(name).ends_with(std::string(name) + why));
    }
    CHECK(asked("rear_left.spring_load").empty());
}

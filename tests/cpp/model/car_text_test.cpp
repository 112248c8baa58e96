// What is written of a car is read as the same car, bit for bit.
#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/files/bytes.hpp"
#include "shimwise/model/bars.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/model/moved_points.hpp"
#include "shimwise/workshop/files/settings.hpp"

using namespace shimwise;
using testing::edited;

namespace {

const std::pair<std::string, std::string> scaled = {
    "cg_mm = [-1420.0, 4.0, 285.0]",
    "scales_kg = { front_left = 120.0, front_right = 121.0, rear_left = 128.0, "
    "rear_right = 129.0 }\ncg_height_mm = 285.0"};

std::string wren() { return testing::text_of(testing::demo_path("wren.toml")); }

Car car_of(const std::string& text) { return car_from({"car.toml", text}); }

/// Without where it was read.
std::string bits(Car car) {
    car.file.clear();
    car.origin = {};
    return bytes_of(car);
}

template <class Call>
std::string said(Call call) {
    try {
        call();
    } catch (const InputError& error) {
        return error.what();
    }
    return {};
}

bool contains(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

bool comes_back(const Car& car) { return bits(car_of(car_text(car))) == bits(car); }

}  // namespace

TEST_CASE("the demo car comes back, its right side left to be mirrored") {
    const Car car = car_of(wren());
    CHECK(comes_back(car));
    CHECK_FALSE(contains(car_text(car), "[front_right]"));
    CHECK(car_text(car_of(car_text(car))) == car_text(car));
}

TEST_CASE("a car comes back as it is set") {
    const Car car = car_of(wren());
    Settings settings;
    settings.turns = {{"front_left.track rod", 0.1}, {"rear_right.pushrod", -1.0 / 3.0}};
    settings.shims_mm = {{"rear_left.camber shim", {2.0, 0.3}}};
    settings.box_mm = {{"front", {0.7}}};
    const Car set = with_settings(car, settings);
    CHECK(bits(set) != bits(car));
    CHECK(comes_back(set));
    CHECK(contains(car_text(set), "[front_right]"));
}

TEST_CASE("what four scales weighed comes back beside what has been changed since") {
    const Car car =
        car_of(edited(edited(wren(), scaled.first, scaled.second), "connected = false", "connected = true"));
    CHECK_FALSE(contains(car_text(car), "[weighed]"));
    Settings settings;
    settings.turns = {{"front_left.pushrod", 0.7}};
    settings.shims_mm = {{"rear_left.camber shim", {2.0, 0.3}}};
    Car set = with_bar(with_bar(with_settings(car, settings), 0, false, "hard"), 1, true);
    CHECK(comes_back(set));
    CHECK(contains(car_text(set),
                   "[weighed]\namounts_mm = { \"front_left.pushrod\" = 0.0, "
                   "\"rear_left.camber shim\" = 0.0 }\n"
                   "front_bar = { connected = true, blade = \"medium\" }\n"
                   "rear_bar = { connected = false }\n"));
    CHECK(comes_back(car_of(car_text(set))));
}

TEST_CASE("what was weighed of what a car does not have is said") {
    const auto said_of = [](const std::string& lines) { return said([&] { car_of(lines); }); };
    const std::string scales = edited(wren(), scaled.first, scaled.second);
    CHECK(contains(said_of(wren() + "[weighed]\n"), "weighed: is only for a car whose mass is given by scales_kg"));
    CHECK(contains(said_of(scales + "[weighed]\namounts_mm = { \"front_left.pushrot\" = 1.0 }\n"),
                   "is no adjuster of the car; did you mean \"front_left.pushrod\"?"));
    CHECK(contains(said_of(scales + "[weighed]\nfront_bar = { connected = true, blade = \"sofd\" }\n"),
                   "weighed.front_bar.blade = \"sofd\": needs one of hard, medium, soft; did you mean \"soft\"?"));
}

TEST_CASE("moved points come back, those of a design and those of a part that is off it") {
    const Car car = car_of(wren());
    const std::map<std::string, std::array<double, 3>> by_mm = {{"front_left.track_rod.inner", {0.1, 0.2, -0.3}},
                                                                {"rear_right.upper_wishbone.outer", {0.0, 1e-7, 0.0}}};
    CHECK(comes_back(with_points_moved(car, by_mm, Moved::drawn)));
    const Car built = with_points_moved(with_points_moved(car, by_mm, Moved::built), by_mm, Moved::drawn);
    CHECK(comes_back(built));
    CHECK(contains(car_text(built), "\"rear_right.upper_wishbone.outer\" = [0.0, 1e-07, 0.0]"));
}

TEST_CASE("parts of every kind come back") {
    const std::string axis = "axis_direction = [1.0, 0.0, 0.0]";
    const std::vector<std::pair<std::string, std::string>> edits = {
        {axis, "axis_direction = [0.9, 0.1, -0.3]"},
        {"direction = [0.0, 1.0, 0.0]", "direction = [0.01, 0.7, 0.02]"},
        {"connected = false", "connected = true"},
        scaled,
        {"name = \"Wren\"", "name = \"W \\\"ren\\\" \\u0001\"\nchassis_twist_Nm_per_deg = 4000.1"},
        {"gap_mm = 4.0", "gap_mm = -0.1\ncarries = \"pull\"\nright = [8.0, -277.0, 455.5]"},
        {"load_at_drawn_N = 1120.0", "free_length_mm = 250.1, seat_gap_mm = 10.3"},
        {"[rear_left]\n",
         "[front_right]\nwheel = { toe_deg = 0.3 }\nhelper = { rate_N_per_mm = 5.0, closes_at_mm = "
         "20.0 }\nspring = { load_at_drawn_N = 1000.0 }\n[[front_right.adjuster]]\nname = \"camber "
         "shim\"\nbox_mm = [0.1]\n[[front_right.adjuster]]\nname = \"new\"\nmoves = "
         "[\"lower_wishbone.front\", \"lower_wishbone.rear\"]\non = \"chassis\"\npurpose = "
         "\"camber\"\ndirection = [0.1, 0.2, 0.3]\ndrawn_with_mm = 1.0\nfitted_mm = [1.0]\nbox_mm = "
         "[]\nminutes = 3\n[rear_left]\n"},
        {"[rear_left]\n",
         "[[front_right.adjuster]]\nname = \"track rod\"\nlocks = \"half_turn\"\nends = \"one\"\n[rear_left]\n"},
        {"pitch_mm = 1.5\nends = \"one\"\nlocks = \"1/12 turn\"", "pitch_mm = 1.4\nlocks = \"1/7 turn\""},
        {"ends = \"left_and_right\"", "ends = \"same_hand\"\nsecond_thread = \"3/8-24\""},
        {"ends = \"left_and_right\"", "ends = \"left_and_right\"\nleft_hand = \"inner\""},
        {"name = \"toe link\"", "name = \"toe link\"\nleft_hand = \"outer\""},
        {"engaged_mm = 22.0", "engaged_mm = [22.0, 21.5]"},
        {"front_left = { at_mm = [0.0, 310.0, 0.0], from = \"floor\" }",
         "\"a nose\" = { at_mm = [90.0, 0.0, 1.0], from = \"skid\" }\nfront_left = { at_mm = [0.0, 310.0, 0.0], from = "
         "\"floor\" }\nfront_right = { at_mm = [1.0, -311.0, 0.5], from = \"floor\" }"},
        {"on = \"car\"", "on = \"stands\""},
        {", checked = 2026-04-20, valid_days = 60", ""},
        {"unsprung_kg =", "unsprung_cg_mm = { rear = [-2345.0, 600.0, 223.0] }\nunsprung_kg ="},
        {", rate_N_per_mm = 180.0 }", " }"},
        {"limits_turns = [-3.0, 3.0]", "length_limits_mm = [310.0, 380.0]"},
    };
    std::string all = wren();
    for (const auto& [from, to] : edits) {
        CAPTURE(to);
        const Car car = car_of(edited(wren(), from, to));
        CHECK(bits(car) != bits(car_of(wren())));
        CHECK(comes_back(car));
        all = edited(all, from, to);
    }
    CHECK(comes_back(car_of(all)));
}

TEST_CASE("a direction that was made unit is read as it is") {
    Car car = car_of(edited(wren(), "direction = [0.0, 1.0, 0.0]", "direction = [0.1, 0.7, 0.3]"));
    const std::string text = car_text(car);
    CHECK(car_text(car_of(text)) == text);
}

TEST_CASE("a car beyond its limits is not written") {
    Car car = car_of(wren());
    std::get<Thread>(car[CornerId::front_left].adjusters[0].setting).now_turns = 9.0;
    CHECK(contains(said([&] { car_text(car); }), "front_left.adjuster"));
    car = car_of(wren());
    car[CornerId::front_left].wheel_axis.x = 0.5;
    CHECK(said([&] { car_text(car); }) == "car.toml: is a car that no file can describe: it is not read back as it is");
}

TEST_CASE("a car is saved to a new file") {
    const testing::ScratchFolder folder;
    const Car car = car_of(wren());
    save_car(car, folder / "car.toml");
    CHECK(testing::text_of(folder / "car.toml") == car_text(car));
    CHECK(bits(load_car(folder / "car.toml")) == bits(car));
    CHECK_THROWS_AS(save_car(car, folder / "car.toml"), InputError);
}

TEST_CASE("what a part is off its drawing is read by corner and point") {
    const std::string off = "[built_off_mm]\n\"front_left.track_rod.inner\" = [0.0, 0.5, 0.0]\n";
    const Car car = car_of(wren() + off);
    CHECK(car[CornerId::front_left].built_off_mm[index(Point::track_rod_inner)].y == 0.5);
    CHECK(car[CornerId::front_right].built_off_mm[index(Point::track_rod_inner)].y == 0.0);
    CHECK(contains(said([&] { car_of(wren() + edited(off, "inner", "iner")); }),
                   "is no point of the car; did you mean \"front_left.track_rod.inner\"?"));
}

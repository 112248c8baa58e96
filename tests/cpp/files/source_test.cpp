#include "shimwise/files/source.hpp"

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "shimwise/model/car_file.hpp"

using namespace shimwise;
using testing::edited;

namespace {

std::string said(const Source& source) {
    try {
        car_from(source);
    } catch (const InputError& error) {
        return error.what();
    }
    return {};
}

}  // namespace

TEST_CASE("a file is read as it stands, a missing one and a folder are said") {
    const testing::ScratchFolder folder;
    const std::string path = folder.write("a.toml", std::string("one\r\n\0", 6));
    const Source source = read_source(path);
    CHECK(source.name == path);
    CHECK(source.bytes == std::string("one\r\n\0", 6));
    CHECK(source.has_lines);
    CHECK_THROWS_WITH(read_source(folder / "b.toml"), folder / "b.toml" + ": there is no such file");
    CHECK_THROWS_WITH(read_source(folder / ""), folder / "" + ": is a folder, a file is needed");
}

TEST_CASE("a car is the same from a text as from its file") {
    const std::string path = testing::demo_path("wren.toml");
    const Car of_text = car_from(Source{"text", testing::text_of(path)});
    const Car of_file = load_car(path);
    CHECK(of_text.file == "text");
    CHECK(of_text.origin.digest == of_file.origin.digest);
    CHECK(of_text[CornerId::front_right].at(Point::track_rod_outer).y ==
          of_file[CornerId::front_right].at(Point::track_rod_outer).y);
}

TEST_CASE("a sentence names a line only where somebody knows it") {
    const std::string wren = testing::text_of(testing::demo_path("wren.toml"));
    const std::string broken = edited(edited(wren, "total_kg = 498.0", "total_kg = true"), "travel_mm", "travel");
    CHECK(said({"text", broken}).starts_with("text:8:12: mass.total_kg = true: needs a number\ntext:4"));
    CHECK(said({"dict", broken, false}).starts_with("dict: mass.total_kg = true: needs a number\ndict: rack"));
    CHECK(said({"dict", "a = 1,5", false}) == "dict: a = 1,5: a number has a point, not a comma");
    CHECK(said({"dict", "a = [", false}).starts_with("dict: is not valid TOML"));
    CHECK(said({"dict", "\xff", false}) == "dict: is not UTF-8 text");
}

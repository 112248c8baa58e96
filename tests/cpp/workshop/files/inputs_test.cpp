#include "shimwise/workshop/files/inputs.hpp"

#include "catch.hpp"
#include "files_of_tests.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

TEST_CASE("what was loaded says its role and the digest of the bytes that were read") {
    const Morning m = wren_morning();
    const auto demand = [](const Input& input, const std::string& role, const std::string& file) {
        CHECK(input.role == role);
        CHECK(input.file == testing::demo_path(file));
        CHECK(input.origin.digest == origin_of(testing::text_of(input.file)).digest);
    };
    demand(input_of(m.car), "car", "wren.toml");
    demand(input_of(m.readings), "readings", "wren_readings.toml");
    demand(input_of(m.targets), "targets", "wren_targets.toml");
    const testing::ScratchFolder folder;
    save_settings(settings_of(m.car), folder / "set.toml");
    const Settings settings = load_settings(folder / "set.toml", m.car);
    CHECK(input_of(settings).role == "settings");
    CHECK(input_of(settings).origin.digest == origin_of(testing::text_of(folder / "set.toml")).digest);
    CHECK(input_of(with_settings(m.car, settings)).origin.digest == m.car.origin.digest);
}

TEST_CASE("inputs are called by their file names, and by more only where that is not enough") {
    const auto names = [](const std::vector<Input>& inputs) { return input_names(inputs); };
    using Names = std::vector<std::string>;
    CHECK(names({{"car", "a/x.toml", {}}, {"readings", "a/y.toml", {}}}) == Names{"x.toml", "y.toml"});
    CHECK(names({{"car", "a/x.toml", {}}, {"readings", "b/x.toml", {}}, {"targets", "z", {}}}) ==
          Names{"a/x.toml", "b/x.toml", "z"});
    CHECK(names({{"car", "/dev/stdin", {}}, {"readings", "/dev/stdin", {}}}) ==
          Names{"car /dev/stdin", "readings /dev/stdin"});
}

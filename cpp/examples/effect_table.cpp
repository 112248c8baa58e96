// Prints what each adjuster of a car's front left corner does to its alignment, the contact's height held.
//   effect_table path/to/car.toml
#include <array>
#include <cstdio>
#include <exception>
#include <span>

#include "shimwise/model/car_file.hpp"
#include "shimwise/workshop/choose/effect_table.hpp"

using namespace shimwise;

namespace {

constexpr std::array shown = {Output::toe,   Output::camber, Output::caster,     Output::kingpin_inclination,
                              Output::trail, Output::scrub,  Output::half_track, Output::motion_ratio};
constexpr std::array titles = {"toe", "camber", "caster", "k.pin", "trail", "scrub", "1/2trk", "ratio"};

void print_line(const char* title, const char* per, std::span<const double> values) {
    std::printf("%-15s %-4s", title, per);
    for (const Output output : shown)
        std::printf(" %6.*f", output_list[index(output)].unit == "mm" ? 2 : 3, values[index(output)]);
    std::printf("\n");
}

/// A thread's effect is shown per turn, a shim's per mm.
void print_table(const Car& car, CornerId corner) {
    const EffectTable table = effects(car, corner);
    std::printf("%s, %s, contact held %.3f mm from the origin\n\n%-15s %-4s", car.name.c_str(),
                std::string(corner_names[index(corner)]).c_str(), table.held_value, "", "per");
    for (const char* title : titles) std::printf(" %6s", title);
    std::printf("\n%-20s", "");
    for (const Output output : shown) std::printf(" %6s", std::string(output_list[index(output)].unit).c_str());
    std::printf("\n");
    print_line("now", "", table.values);
    for (const EffectRow& row : table.rows) {
        const Adjuster& adjuster = car[corner].adjusters[row.variable];
        if (row.per == (adjuster.thread() ? Per::turn : Per::mm))
            print_line(adjuster.name.c_str(), adjuster.thread() ? "turn" : "mm", row.change);
    }
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fprintf(stderr, "effect_table path/to/car.toml\n");
        return 2;
    }
    try {
        print_table(load_car(argv[1]), CornerId::front_left);
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 2;
    }
    return 0;
}

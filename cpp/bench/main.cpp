// shimwise_bench                  accuracy, then times (medians of interleaved repetitions; ratios paired)
// shimwise_bench --count NAME N   does N states of one row after its set-up, for an instruction counter
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include "rows.hpp"
#include "shimwise/model/car_file.hpp"

namespace {

constexpr int repetitions = 21;
constexpr long states = 20'000;

double microseconds_a_state(const bench::Row& row) {
    const auto start = std::chrono::steady_clock::now();
    row.run(states);
    const std::chrono::duration<double, std::micro> taken = std::chrono::steady_clock::now() - start;
    return taken.count() / states;
}

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::ranges::nth_element(values, middle);
    return *middle;
}

/// Median of the ratios within each repetition.
double ratio(const std::vector<double>& above, const std::vector<double>& below) {
    std::vector<double> each;
    for (std::size_t i = 0; i < above.size(); ++i) each.push_back(above[i] / below[i]);
    return median(each);
}

void print_accuracy(const shimwise::Car& car) {
    std::printf("%-22s %14s %14s %14s\n", "largest differences", "lengths, mm", "angles, deg", "deg per mm");
    for (const bench::Accuracy& a : bench::accuracies(car))
        std::printf("%-22s %14.1e %14.1e %14.1e\n", a.name.c_str(), a.residual_mm, a.angle_deg, a.rate);
}

void print_times(const std::vector<bench::Row>& rows) {
    std::vector<std::vector<double>> taken(rows.size());
    for (int i = 0; i < repetitions; ++i)
        for (std::size_t r = 0; r < rows.size(); ++r) taken[r].push_back(microseconds_a_state(rows[r]));
    std::printf("\n%-22s %9s %11s\n", "", "us/state", "x the first");
    for (std::size_t r = 0; r < rows.size(); ++r)
        std::printf("%-22s %9.3f %11.2f  %s\n", rows[r].name.c_str(), median(taken[r]), ratio(taken[r], taken[0]),
                    rows[r].what.c_str());
}

int count(const std::vector<bench::Row>& rows, const char* name, const char* number) {
    const auto row = std::ranges::find(rows, name, &bench::Row::name);
    const long wanted = std::strtol(number, nullptr, 10);
    if (row == rows.end() || wanted <= 0) {
        std::fprintf(stderr, "shimwise_bench: no row \"%s\", or not a number of states: %s; the rows are:\n", name,
                     number);
        for (const bench::Row& each : rows) std::fprintf(stderr, "  %s\n", each.name.c_str());
        return 2;
    }
    row->run(wanted);
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    const shimwise::Car car = shimwise::load_car(SHIMWISE_DEMO_CAR);
    if (argc == 4 && std::strcmp(argv[1], "--count") == 0) return count(bench::rows(car), argv[2], argv[3]);
    if (argc != 1) {
        std::fprintf(stderr, "shimwise_bench [--count NAME N]\n");
        return 2;
    }
    print_accuracy(car);
    print_times(bench::rows(car));
    return 0;
}

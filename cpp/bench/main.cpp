// shimwise_bench                  accuracy, then times (medians of interleaved repetitions; ratios paired)
// shimwise_bench --count NAME N   does N states of one row after its set-up, for an instruction counter
#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <map>

#include "rows.hpp"
#include "shimwise/model/car_file.hpp"

namespace {

constexpr int repetitions = 21;

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

std::string aim(const char* format, double value) {
    char text[32];
    std::snprintf(text, sizeof text, format, value);
    return value > 0.0 ? text : "";
}

/// What the ratios of whole rows must be; `least`: at least, otherwise at most.
struct Ratio {
    const char* above;
    const char* below;
    double aim;
    bool least;
};
constexpr Ratio ratios[] = {
    {"one_sensitivity", "one_sensitivity_wheel", 1.1, false},
    {"one_sensitivity_spring", "one_sensitivity_wheel", 1.6, false},
    {"tiny_solver", "one_sensitivity", 12.0, true},
};

void print_times(const std::vector<bench::Row>& rows) {
    std::map<std::string, std::vector<double>> taken;
    for (int i = 0; i < repetitions; ++i)
        for (const bench::Row& row : rows) taken[row.name].push_back(bench::microseconds_a_state(row, row.states));
    std::printf("\n%-24s %9s %6s\n", "", "us/state", "aim");
    for (const bench::Row& row : rows)
        std::printf("%-24s %9.3f %6s  %s\n", row.name.c_str(), median(taken[row.name]), aim("%.2f", row.aim_us).c_str(),
                    row.what.c_str());
    std::printf("\n%-49s %9s %14s\n", "", "ratio", "aim");
    for (const Ratio& r : ratios)
        std::printf("%-24s/%-24s %9.2f %8s %5.1f\n", r.above, r.below, ratio(taken[r.above], taken[r.below]),
                    r.least ? "at least" : "at most", r.aim);
}

int count(const std::vector<bench::Row>& rows, const char* name, const char* number) {
    const auto row = std::ranges::find(rows, name, &bench::Row::name);
    const long wanted = std::strtol(number, nullptr, 10);
    if (row == rows.end() || wanted <= 0) {
        std::fprintf(stderr, "shimwise_bench: no row \"%s\", or not a number of states: %s; the rows are:\n", name,
                     number);
        for (const bench::Row& each : rows) std::fprintf(stderr, "  %-24s %s\n", each.name.c_str(), each.what.c_str());
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

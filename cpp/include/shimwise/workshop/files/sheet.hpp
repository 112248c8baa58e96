// What a readings file of a car may hold, with what is known before anything is read: the empty sheet.
#pragma once

#include <array>
#include <string>
#include <utility>
#include <vector>

#include "shimwise/model/car.hpp"

namespace shimwise {

/// A length that threads of the corner turn, as the settings have it.
struct TurnedLength {
    std::vector<std::string> adjusters;
    double now_mm = 0.0;  // eye to eye
};

/// What is read at one corner.
struct CornerSheet {
    bool flags = false;
    bool camber = false;
    bool scale = false;
    std::vector<std::pair<std::string, std::vector<double>>> shims_mm;  // by pack: what the settings have fitted
    std::vector<std::pair<std::string, TurnedLength>> lengths;          // by name of the length
};

struct Sheet {
    std::string car;
    std::vector<std::pair<std::string, double>> ballast_kg;  // as in the car file
    bool steered = false;
    bool strings = false;
    bool pads = false;
    bool skid = false;
    std::vector<std::string> ride_heights;
    bool camber_gauge = false;
    std::array<CornerSheet, corner_count> corners;
    std::vector<std::string> left_out;  // sentences: what this car's readings do not take, and why
};

/// The fields that `load_readings` takes for this car as it is set, each list in the order of the car file.
Sheet sheet(const Car& car);

}  // namespace shimwise

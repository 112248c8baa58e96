// How the car itself scatters, from a sheet that was read anew after settling.
#pragma once

#include <array>
#include <string_view>
#include <vector>

#include "shimwise/model/car.hpp"
#include "shimwise/workshop/files/readings.hpp"

namespace shimwise {

/// What settling moves, as `[settling]` of the car file names it.
enum class Settles { toe, camber, ride_height, warp };
inline constexpr std::array<std::string_view, 4> settles_names = {"toe", "camber", "ride_height", "warp"};
inline constexpr std::array<std::string_view, 4> settles_units = {"deg", "deg", "mm", "kg"};

/// One kind of it, between the sets of one sheet. Variances are of one settling.
struct Settled {
    Settles what = Settles::toe;
    std::size_t sets = 0;         // most that one place was read in
    std::size_t degrees = 0;      // of freedom, over all places
    double between = 0.0;         // variance between the sets, pooled over wheels or points
    double by_instruments = 0.0;  // what hand and last digit make of it
    double of_file = 0.0;         // standard deviation in the car file
    double counts = 0.0;          // standard deviation that counts
};

/// How many settlings the car file's scatter counts as much as, beside what was seen: two or three sets alone would
/// now and then show next to none.
inline constexpr double settlings_of_file = 4.0;
/// Of fewer sets what was seen may raise what counts, and never lower it.
inline constexpr std::size_t least_sets = 3;

/// Of every kind that was read in more than one set. Between them lie the car's settling and, of a car between strings
/// on stands, its yaw; of four scales the pattern + - - + over 4. What counts is the pooled variance
/// (4 file^2 + degrees (between - by_instruments)) / (4 + degrees), the bracket at least 0; without a scatter in the
/// file what was seen alone; of fewer than three sets never less than the file's.
std::vector<Settled> settled(const Readings& readings, const Car& car);

/// x of the middle of the front wheels' centres less that of the rear ones, as drawn.
double wheel_centres_apart_mm(const Car& car);

/// The car file's scatter, with what counts of the above in its place.
Settling settling(const Readings& readings, const Car& car);

}  // namespace shimwise

// Many states of a car, each set by columns of numbers: columns in, columns out, into the caller's memory, over the
// cores of the machine. A state's numbers depend on nothing but that state: not on threads, chunks or its neighbours.
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shimwise/model/moved_points.hpp"
#include "shimwise/model/value_id.hpp"
#include "shimwise/motion/unreached.hpp"

namespace shimwise {

/// What is held while something is set: the wheel centre's or the contact's height or the spring's length of each
/// corner by itself; or nothing, and the whole car is at rest on its springs.
enum class SweepHold { wheel, contact, spring, rest };
inline constexpr std::array<std::string_view, 4> sweep_hold_names = {"wheel", "contact", "spring", "rest"};

/// Something that a sweep may set, in the unit that its values are in: turns of a thread from as drawn, the whole
/// thickness of a pack, a point's coordinate, wheel or rack travel, the height of a pad, a ballast.
struct SweptInput {
    enum class Of { adjuster, point, travel, rack, pad, ballast };
    Of of = Of::travel;
    std::string key;  // "front_left.track rod", "front_left.track_rod.inner.z", "travel_mm", "pad.front_left"
    std::string unit;
    std::string long_name;
    std::size_t corner = 0;
    std::size_t index = 0;  // adjuster of the corner, point, or ballast of the car
    std::size_t axis = 0;   // of a point
    double now = 0.0;       // as the car stands
};

/// All that may be set, something being held. `moved`: how the points of the sweep move.
std::vector<SweptInput> sweep_inputs(const Car& car, SweepHold hold, Moved moved);

/// A value that a sweep gives: of the car at rest by its id, else a row of `curves` of a corner.
struct SweptOutput {
    std::string key;     // "front_left.toe", "cross_weight"
    std::string column;  // with its unit
    std::string unit;
    std::string sign;
    std::string missing;  // why the car's file does not give it; empty where it does
    std::size_t corner = 0;
    std::size_t row = 0;  // of `curves`; at rest of `rest_outputs`
};
/// All that this car can give, something being held.
std::vector<SweptOutput> sweep_outputs(const Car& car, SweepHold hold);

/// What an output goes by, each once: its key, its column, and both without the corner for those of all four.
std::vector<std::string> names_of(const SweptOutput& output);

/// With what held an output of that name is given; a car that does not stand gives none of it at rest.
std::vector<SweepHold> holds_with(const Car& car, std::string_view name);

/// Throws InputError where an input cannot be set so (`change`: counted from as the car stands), all others as they
/// stand: beyond a limit of its adjuster or the rack, a pad farther off than any floor, less than no ballast. Whatever
/// lies between two that can be set can be set.
void demand_settable(const Car& car, const SweptInput& input, SweepHold hold, double value, bool change);

/// A number of each state: of the one at indices i, j, .. of the shape it is first[i * step[0] + j * step[1] + ..].
struct SweptNumbers {
    const double* first = nullptr;
    std::vector<std::ptrdiff_t> steps;
};

/// One input with its values.
struct SweptColumn {
    SweptInput input;
    bool change = false;  // counts from as the car stands
    SweptNumbers values;
};

struct CarSweep {
    Car car;
    SweepHold hold = SweepHold::wheel;
    Moved moved = Moved::built;
    std::vector<SweptColumn> columns;  // each input once
    std::vector<SweptOutput> outputs;
    std::vector<std::size_t> shape;
    std::optional<SweptNumbers> missing_mm = {};  // of shims: a state that misses any is not worked out
};

/// Where the results of states go: state `first` of the shape, counted with the last index fastest, is the first.
struct SweepResults {
    std::vector<double*> outputs;   // one per output
    signed char* status = nullptr;  // of Obstacle
    signed char* corner = nullptr;  // CornerId; -1 of none
    double* short_by_mm = nullptr;
    double* short_by_N = nullptr;
};

/// What a table of these calls status, corner and both amounts.
inline constexpr std::array<std::string_view, 4> sweep_mask_names = {"status", "status_corner", "short_by_mm",
                                                                     "short_by_N"};

struct StateRange {
    std::size_t first = 0, last = 0;
};

/// Precondition: `check` finds nothing of the car. Works out states `part.first` up to `part.last` of the shape. Of a
/// state that cannot be reached all outputs are NaN, and the status says why. With a corner held so, wheel travel
/// counts from its drawn wheel centre; the contact or the spring stays where the car as given has it at that travel,
/// its rack centred. Newton's method begins at the drawing in every state. `watch` is called every 50 ms with the
/// states done; what it throws ends the sweep.
void sweep(const CarSweep& sweep, const StateRange& part, const SweepResults& results, std::size_t threads,
           const std::function<void(std::size_t)>& watch);

}  // namespace shimwise

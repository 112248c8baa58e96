// The whole car as the energy at rest reads it: four corners, what couples them, and every weight.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "shimwise/model/car.hpp"
#include "shimwise/motion/setup.hpp"
#include "shimwise/motion/strut_load.hpp"
#include "shimwise/rest/riding.hpp"

namespace shimwise {

/// A weight fixed to the chassis. It turns by roll + twist * `share`.
struct Weight {
    std::string name;  // "sprung mass", or a ballast's
    Vec3<double> at_mm;
    double kg = 0.0;
    double share = 0.0;
};

/// What must be said of a car whose file gives the chassis no torsional rate.
inline constexpr std::string_view rigid_chassis_words =
    "The chassis is taken as rigid: the file gives no chassis_twist_Nm_per_deg. A real one twists, and the scales then "
    "show 10 to 20 % less of a change in cross weight (common practice, no source).";

struct RestModel {
    Car car;  // every spring with its load as drawn, the total with its centre of gravity
    std::array<Setup, corner_count> setups;
    std::array<Riders, corner_count> riders;
    std::array<double, corner_count> give_mm_per_N{};  // of tyres; setup wheels are rigid
    std::array<double, corner_count> tyre_load_N{};    // at which a tyre has its loaded radius
    std::array<double, 2> third_drawn_mm{};            // between its ends
    std::vector<std::array<std::size_t, 2>> rake;      // places in `car.ride_heights`: front pair, rear pair; or empty
    std::vector<Weight> weights;                       // fixed to the chassis: the sprung mass, then each ballast

    bool twists() const { return car.chassis_twist_Nm_per_deg.has_value(); }
    /// Whether the rack moves a track rod of this corner.
    bool on_rack(std::size_t corner) const { return car.rack && car.corners[corner].rack_direction; }
    bool has_rack() const;
    double total_kg() const;
    /// By how much of the twist a chassis point turns beside the roll: +1/2 at the front axle line, -1/2 at the rear.
    double share(const Vec3<double>& at_mm) const;
    /// How far a third element is squeezed (or drawn, where it carries so) with its ends this far apart; below 0: free.
    template <class T>
    T third_squeeze(std::size_t axle, const T& apart_mm) const {
        const Third& third = *car.thirds[axle];
        const T shorter = third_drawn_mm[axle] - apart_mm;
        return (third.carries_pull ? -shorter : shorter) - third.gap_mm;
    }
};

/// Reads the car once. Springs that rest as drawn get the loads with which the car stands as drawn on level pads, bars
/// unloaded; scale readings become a centre of gravity. Throws OutOfReach where that cannot be.
RestModel rest_model(const Car& car);

/// The same with other ballast, kg by name. Throws InputError where the car has no such ballast or less than 0 kg.
RestModel with_ballast(RestModel model, const std::map<std::string, double>& kg);

/// The same with its rack moved by so much from the centre, + = along its direction, to the left. Whatever is found of
/// a car as it stands straight ahead (the tyres' loads) is found before. Throws InputError where the car has no rack,
/// or beyond its travel.
RestModel with_rack(RestModel model, double rack_mm);

/// The same on its tyres: loaded radius under the load with which the car now stands on level ground, vertical rate
/// about it. Throws InputError where the file gives a tyre no rate.
RestModel on_tyres(RestModel model);

}  // namespace shimwise

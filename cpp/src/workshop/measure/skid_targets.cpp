#include "shimwise/workshop/measure/skid_targets.hpp"

#include "shimwise/error.hpp"
#include "shimwise/workshop/measure/differences.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/measure/skid_heights.hpp"

namespace shimwise {
namespace {

[[noreturn]] void refuse(const Skid& skid, const std::string& field, const std::string& rule) {
    throw InputError({{skid.file, 0, 0, field, "", rule}});
}

/// By how much more height a point lasts; nothing where it lasts as it is.
std::optional<double> lacks_mm(const Skid& skid, const PointWear& wear, double lasts_km, const Measured& measured,
                               const Car& car) {
    if (!wear.outlook) return std::nullopt;
    const Reached lasts = wear.by_height.empty() ? Reached{} : wear.by_height.front().lasts_mm.value_or(Reached{});
    if (!lasts.value || !(lasts.low || lasts.high)) {
        const auto& left = wear.outlook->left_km.value;
        if (left && *left >= lasts_km) return std::nullopt;
        refuse(skid, wear.point, "these runs do not tell which ride height lasts " + fixed_words(lasts_km, 0) + " km");
    }
    for (const SkidPoint& point : skid.points) {
        if (point.name != wear.point) continue;
        const auto under_mm = height_of_new_skid_mm(measured, point, car);
        if (!under_mm) refuse(skid, wear.point, "needs ride heights that were read at two places along the car");
        return *lasts.value - *under_mm;
    }
    return std::nullopt;
}

}  // namespace

Targets targets_that_last(const Skid& skid, const WearAsked& asked, const Measured& measured, const Car& car) {
    if (!asked.lasts_km) refuse(skid, "lasts_km", "needs the distance that the skid is to last");
    double up_mm = 0.0;
    std::string lacking;
    for (const PointWear& point : wear(skid, asked, car).points)
        if (const auto lacks = lacks_mm(skid, point, *asked.lasts_km, measured, car); lacks && *lacks > up_mm) {
            up_mm = *lacks;
            lacking = point.point;
        }
    const std::string far = fixed_words(*asked.lasts_km, 0) + " km";
    const std::string said = lacking.empty()
                                 ? "As the car was read its skid lasts " + far + " by the mean: ride heights stay."
                                 : "Wanted is every ride height as it was read and " + fixed_words(up_mm, 1) +
                                       " mm more, with which the skid lasts " + far + " at " + lacking +
                                       " by the mean; rake stays.";
    Targets targets{skid.file, skid.origin, said, {}, {}};
    for (std::size_t p = 0; p < car.ride_heights.size(); ++p) {
        const ValueId id = ValueId::ride_height(car, p);
        const auto read = measured.value(id);
        const auto tolerance = common_tolerance(id, car);
        if (read && tolerance) targets.values[id] = target_about(*read + up_mm, *tolerance);
    }
    return targets;
}

}  // namespace shimwise

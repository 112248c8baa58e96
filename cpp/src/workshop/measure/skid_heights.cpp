#include "workshop/measure/skid_heights.hpp"

#include <algorithm>
#include <cmath>

#include "shimwise/math/least_squares.hpp"

namespace shimwise {
namespace {

constexpr double apart_mm = 100.0;  // along the car, for a line through two places to say anything

/// Of the point that was read nearest to a place; as new where none was.
double worn_near_mm(const Skid& skid, const SkidCheck& check, const Vec3<double>& at) {
    double nearest = INFINITY, worn_mm = 0.0;
    for (const SkidPoint& point : skid.points) {
        const auto read = check.thickness_mm.find(point.name);
        const double away = std::hypot(point.at_mm.x - at.x, point.at_mm.y - at.y);
        if (read == check.thickness_mm.end() || !(away < nearest)) continue;
        nearest = away;
        worn_mm = skid.new_mm - read->second;
    }
    return worn_mm;
}

/// Heights over the ground of the chassis' plane z = 0 along the car -> of a new skid's underside at a point.
std::optional<double> along_the_car(const std::vector<double>& x, const std::vector<double>& over,
                                    const SkidPoint& point) {
    if (x.empty() || !(*std::ranges::max_element(x) - *std::ranges::min_element(x) >= apart_mm)) return std::nullopt;
    const auto n = static_cast<Eigen::Index>(x.size());
    Eigen::MatrixXd along(n, 2);
    along << Eigen::VectorXd::Ones(n), Eigen::Map<const Eigen::VectorXd>(x.data(), n);
    const LinearFit line = linear_fit(along, Eigen::Map<const Eigen::VectorXd>(over.data(), n));
    return line.x(0) + line.x(1) * point.at_mm.x + point.at_mm.z;
}

}  // namespace

std::optional<double> height_of_new_skid_mm(const Skid& skid, const SkidCheck& check, const SkidPoint& point,
                                            const Car& car) {
    std::vector<double> x, over;
    for (const RideHeightPoint& known : car.ride_heights) {
        const auto read = check.ride_height_mm.find(known.name);
        if (read == check.ride_height_mm.end()) continue;
        const bool from_skid = known.from == HeightFrom::skid;
        const double worn_mm = from_skid ? worn_near_mm(skid, check, known.at_mm) : 0.0;
        x.push_back(known.at_mm.x);
        over.push_back(read->second - worn_mm - known.at_mm.z);
    }
    return along_the_car(x, over, point);
}

std::optional<double> height_of_new_skid_mm(const Measured& measured, const SkidPoint& point, const Car& car) {
    std::vector<double> x, over;
    for (std::size_t p = 0; p < car.ride_heights.size(); ++p) {
        const RideHeightPoint& known = car.ride_heights[p];
        const auto read = measured.value(ValueId::ride_height(car, p));
        if (!read) continue;
        x.push_back(known.at_mm.x);
        over.push_back(*read - known.at_mm.z);
    }
    return along_the_car(x, over, point);
}

}  // namespace shimwise

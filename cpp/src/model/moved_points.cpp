#include "shimwise/model/moved_points.hpp"

#include <cmath>
#include <utility>

#include "model/findings.hpp"
#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/model/check.hpp"

namespace shimwise {
namespace {

[[noreturn]] void refuse(const Car& car, const std::string& key, const std::string& rule) {
    throw InputError({{car.file, 0, 0, key, "", rule}});
}

std::string key_of(const PointMove& move) { return corner_field(move.corner, point_names[index(move.point)]); }

PointMove move_of(const Car& car, const std::string& key, const std::array<double, 3>& by_mm) {
    const std::string corner_name = key.substr(0, key.find('.'));
    const auto corner = named<CornerId>(corner_names, corner_name);
    if (!corner)
        refuse(car, key,
               "names no corner: needs corner.point" +
                   did_you_mean(corner_name, std::vector<std::string>(corner_names.begin(), corner_names.end())));
    const std::string point_name = key.size() > corner_name.size() ? key.substr(corner_name.size() + 1) : "";
    const auto point = named<Point>(point_names, point_name);
    if (!point) refuse(car, key, "names no point" + did_you_mean(point_name, car[*corner].point_names()));
    return {*corner, *point, {by_mm[0], by_mm[1], by_mm[2]}};
}

}  // namespace

Car with_points_moved(Car car, const std::vector<PointMove>& moves, Moved as) {
    for (const PointMove& move : moves) {
        Corner& corner = car.corners[index(move.corner)];
        const Vec3<double>& by = move.by_mm;
        if (!corner.has(move.point)) refuse(car, key_of(move), "is no point of this corner");
        if (!std::isfinite(by.x + by.y + by.z)) refuse(car, key_of(move), "is moved by a number that is not finite");
        Vec3<double>& at = as == Moved::drawn ? *corner.points[index(move.point)]  //
                                              : corner.built_off_mm[index(move.point)];
        at = at + by;
    }
    if (std::vector<Problem> problems = check(car); !problems.empty()) throw InputError(std::move(problems));
    return car;
}

Car with_points_moved(Car car, const std::map<std::string, std::array<double, 3>>& by_mm, Moved as) {
    std::vector<PointMove> moves;
    for (const auto& [key, by] : by_mm) moves.push_back(move_of(car, key, by));
    return with_points_moved(std::move(car), moves, as);
}

}  // namespace shimwise

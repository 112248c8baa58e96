#include "shimwise/motion/point_errors.hpp"

#include "shimwise/model/moved_points.hpp"
#include "shimwise/motion/rates.hpp"
#include "shimwise/motion/sweep.hpp"

namespace shimwise {
namespace {

struct Predicted {
    std::vector<ToeAndCamber> of_adjusters;
    ToeAndCamber of_bump;
};

ToeAndCamber of_one(const Adjuster& adjuster, const Outputs<double>& per_mm) {
    const double amount_mm = adjuster.thread() ? adjuster.thread()->lead_mm() : 1.0;
    return {per_mm[index(Output::toe)] * amount_mm, per_mm[index(Output::camber)] * amount_mm};
}

Predicted predicted(const Corner& corner, Held held, double bump_mm) {
    const Setup now = setup(corner);
    const Hold hold = {.what = held};
    const Rates r = rates(now, hold, present_value(now, hold));
    Predicted found;
    for (std::size_t a = 0; a < corner.adjusters.size(); ++a)
        found.of_adjusters.push_back(of_one(corner.adjusters[a], r.per_mm[a]));

    const std::array<double, 2> travel_mm = {0.0, bump_mm}, rack_mm = {0.0, 0.0};
    std::array<double, 2 * output_count> block{};
    alignment(corner, travel_mm, rack_mm, block.data());
    const auto change = [&](Output output) { return block[2 * index(output) + 1] - block[2 * index(output)]; };
    found.of_bump = {change(Output::toe), change(Output::camber)};
    return found;
}

ToeAndCamber half_difference(const ToeAndCamber& more, const ToeAndCamber& less) {
    return {(more.toe_deg - less.toe_deg) / 2.0, (more.camber_deg - less.camber_deg) / 2.0};
}

Vec3<double> along(std::size_t axis, double mm) {
    return {axis == 0 ? mm : 0.0, axis == 1 ? mm : 0.0, axis == 2 ? mm : 0.0};
}

}  // namespace

std::vector<PointError> point_errors(const Car& car, CornerId id, Held held, double error_mm, double bump_mm) {
    const auto with_error = [&](Point point, const Vec3<double>& by_mm) {
        return predicted(with_points_moved(car, {{id, point, by_mm}}, Moved::drawn)[id], held, bump_mm);
    };
    std::vector<PointError> errors;
    for (std::size_t p = 0; p < point_count; ++p) {
        const auto point = static_cast<Point>(p);
        if (!car[id].has(point)) continue;
        for (std::size_t axis = 0; axis < 3; ++axis) {
            const Predicted more = with_error(point, along(axis, error_mm));
            const Predicted less = with_error(point, along(axis, -error_mm));
            PointError error = {point, axis, {}, half_difference(more.of_bump, less.of_bump)};
            for (std::size_t a = 0; a < more.of_adjusters.size(); ++a)
                error.of_adjusters.push_back(half_difference(more.of_adjusters[a], less.of_adjusters[a]));
            errors.push_back(std::move(error));
        }
    }
    return errors;
}

}  // namespace shimwise

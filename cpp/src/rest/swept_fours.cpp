#include "rest/swept_fours.hpp"

#include <cmath>

#include "rest/four_at_rest.hpp"
#include "rest/swept_values.hpp"

namespace shimwise {
namespace {

using Of = SweptInput::Of;

class FourCornersSwept : public SweptFours {
public:
    FourCornersSwept(const CarSweep& sweep, SweptCar& single)
        : sweep_(sweep), single_(single), hold_(corner_hold(sweep.hold)), of_one_(sweep.columns.size()) {
        for (const SweptOutput& output : sweep.outputs) corners_[output.corner].wanted = true;
        for (std::size_t c = 0; c < corner_count; ++c) {
            const Corner& corner = sweep.car.corners[c];
            Setup as_given = setup(corner);
            for (const double amount : as_given.amounts_mm)
                corners_[c].amounts_mm.push_back({amount, amount, amount, amount});
            corners_[c].geometry = std::move(as_given.geometry);
            corners_[c].points = drawn_points(corner);
        }
    }

    unsigned at(const std::vector<FourNumbers>& values, std::vector<FourNumbers>& outputs) override {
        unsigned left = set(values);
        left |= sweep_.moved == Moved::drawn && sets(sweep_, Of::point) ? not_real(values) : 0;
        for (std::size_t c = 0; c < corner_count; ++c)
            if (corners_[c].wanted) left |= at_corner(c, outputs);
        return left;
    }

private:
    struct OfCorner {
        bool wanted = false;
        std::vector<FourNumbers> amounts_mm;
        DrawnPoints<double> points;
        std::vector<FourMoves> moves;
        Geometry geometry;
    };

    unsigned set(const std::vector<FourNumbers>& values);
    unsigned not_real(const std::vector<FourNumbers>& values);
    unsigned at_corner(std::size_t c, std::vector<FourNumbers>& outputs);

    const CarSweep& sweep_;
    SweptCar& single_;
    const Hold hold_;
    std::array<OfCorner, corner_count> corners_;
    FourNumbers travel_mm_{}, rack_mm_{};
    std::vector<double> of_one_;
};

/// Gives by bits the states that move a point by what is no number.
unsigned FourCornersSwept::set(const std::vector<FourNumbers>& values) {
    unsigned not_finite = 0;
    for (OfCorner& corner : corners_) corner.moves.clear();
    for (std::size_t i = 0; i < values.size(); ++i) {
        const SweptColumn& column = sweep_.columns[i];
        const SweptInput& input = column.input;
        OfCorner& corner = corners_[input.corner];
        const auto each = [&](FourNumbers& to, const auto& of_value) {
            for (std::size_t lane = 0; lane < kernel_lanes; ++lane) to[lane] = of_value(values[i][lane]);
        };
        const auto set_to = [&](double value) { return setting(column, value); };
        switch (input.of) {
            case Of::adjuster:
                each(corner.amounts_mm[input.index], [&](double value) {
                    return amount_mm(sweep_.car.corners[input.corner].adjusters[input.index], set_to(value));
                });
                break;
            case Of::travel:
                each(travel_mm_, set_to);
                break;
            case Of::rack:
                each(rack_mm_, set_to);
                break;
            case Of::point:
                corner.moves.push_back({input.index, input.axis, {}});
                each(corner.moves.back().by_mm, [&](double value) { return moves_by_mm(column, value); });
                for (std::size_t lane = 0; lane < kernel_lanes; ++lane)
                    if (!std::isfinite(corner.moves.back().by_mm[lane])) not_finite |= 1U << lane;
                break;
            case Of::pad:
            case Of::ballast:
                break;
        }
    }
    return not_finite;
}

/// States in which no real car could be as it is drawn then.
unsigned FourCornersSwept::not_real(const std::vector<FourNumbers>& values) {
    unsigned states = 0;
    for (std::size_t lane = 0; lane < kernel_lanes; ++lane) {
        for (std::size_t i = 0; i < values.size(); ++i) of_one_[i] = values[i][lane];
        if (!single_.put_points(of_one_)) states |= 1U << lane;
    }
    return states;
}

unsigned FourCornersSwept::at_corner(std::size_t c, std::vector<FourNumbers>& outputs) {
    const OfCorner& corner = corners_[c];
    FourInput in = {.geometry = &corner.geometry,
                    .amounts_mm = corner.amounts_mm.data(),
                    .adjuster_count = static_cast<int>(corner.amounts_mm.size()),
                    .rack_mm = rack_mm_,
                    .points = &corner.points,
                    .moves = corner.moves.data(),
                    .move_count = corner.moves.size(),
                    .as_drawn = sweep_.moved == Moved::drawn,
                    .hold = hold_,
                    .held = travel_mm_};
    unsigned left = 0;
    if (hold_.what != Held::wheel)
        for (std::size_t lane = 0; lane < kernel_lanes; ++lane) {
            const SweptCar::HeldAt held = single_.held_as_given(c, travel_mm_[lane]);
            if (held.shortfall.what != Obstacle::none) left |= 1U << lane;
            in.held[lane] = held.value;
        }
    std::array<FourNumbers, output_count> columns;
    left |= kernel().four(in, columns.data());
    for (std::size_t o = 0; o < outputs.size(); ++o)
        if (sweep_.outputs[o].corner == c) outputs[o] = columns[sweep_.outputs[o].row];
    return left;
}

class FourCarsAtRest : public SweptFours {
public:
    FourCarsAtRest(const CarSweep& sweep, const SweptCar& single) : of_one_(sweep.columns.size()) {
        for (auto& car : cars_) car = std::make_unique<SweptCar>(sweep, single);
    }

    unsigned at(const std::vector<FourNumbers>& values, std::vector<FourNumbers>& outputs) override {
        std::array<const RestModel*, kernel_lanes> models{};
        std::array<PadHeights, kernel_lanes> pads_mm{};
        unsigned left = 0;
        for (std::size_t lane = 0; lane < kernel_lanes; ++lane) {
            for (std::size_t i = 0; i < values.size(); ++i) of_one_[i] = values[i][lane];
            models[lane] = cars_[lane]->model_at(of_one_);
            if (models[lane] == nullptr) left |= 1U << lane;
            pads_mm[lane] = cars_[lane]->pads_mm();
        }
        if (left == all_left) return left;
        const RestModel* any = *std::ranges::find_if(models, [](const RestModel* model) { return model != nullptr; });
        for (const RestModel*& model : models)
            if (model == nullptr) model = any;
        std::array<RestValues<double>, kernel_lanes> found;
        left |= four_.at(models, pads_mm, found);
        for (std::size_t lane = 0; lane < kernel_lanes; ++lane) {
            if (left & 1U << lane) continue;
            const std::vector<double> of_lane = row(found[lane], cars_[lane]->values_at_rest());
            for (std::size_t o = 0; o < outputs.size(); ++o) outputs[o][lane] = of_lane[o];
        }
        return left;
    }

private:
    std::array<std::unique_ptr<SweptCar>, kernel_lanes> cars_;
    FourAtRest four_;
    std::vector<double> of_one_;
};

}  // namespace

std::unique_ptr<SweptFours> swept_fours(const CarSweep& sweep, SweptCar& single) {
    if (sweep.hold == SweepHold::rest) return std::make_unique<FourCarsAtRest>(sweep, single);
    for (const SweptOutput& output : sweep.outputs)
        if (output.row >= output_count) return nullptr;
    return std::make_unique<FourCornersSwept>(sweep, single);
}

}  // namespace shimwise

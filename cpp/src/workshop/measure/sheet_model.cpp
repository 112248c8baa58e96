#include "workshop/measure/sheet_model.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "shimwise/model/check.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/measure/settled.hpp"

namespace shimwise {

using Eigen::VectorXd;

namespace {

bool on_one_line(const std::vector<Vec3<double>>& points) {
    if (points.size() < 3) return true;
    try {
        best_plane(points);
        return false;
    } catch (const std::invalid_argument&) {
        return true;
    }
}

}  // namespace

/// The ground asks for the pads' plane under the heights read from the plate, that for the contacts, and those for the
/// ground: twice round is enough, since a contact moves by micrometres.
void SheetModel::find_ground() {
    std::vector<Vec3<double>> places;
    for (const HeightRead& p : points_) places.push_back(p.point->at_mm);
    const bool by_heights = !on_one_line(places);
    const std::vector<double> on_ground(corner_count, 0.0);
    std::vector<Vec3<double>> drawn;
    for (const Corner& corner : car_.corners) drawn.push_back(drawn_contact(corner));
    ground_ = ground_through(drawn, on_ground);
    for (std::size_t c = 0; c < corner_count; ++c) contacts_[c] = drawn[c];
    for (int round = 0; by_heights && round < 2; ++round) {
        ground_ = ground_through(places, point_heights(at_, ground_));
        ground_.from = GroundFrom::ride_heights;
        contacts_ = contacts_on(ground_, car_);
    }
    if (!by_heights) contacts_ = contacts_on(ground_, car_);
    if (pads_read()) ground_.plumb = plumb_of(pads(at_, ground_));
    for (std::size_t c = 0; c < corner_count; ++c) model_[c] = outputs_on(ground_, car_.corners[c]);
}

Plane SheetModel::pads(const VectorXd& x, const Ground& ground) const {
    std::array<double, corner_count> heights{};
    const Eigen::VectorXd by_them = pads_by_them_ * x.segment(first_pad_, pads_by_them_.cols());
    std::ranges::copy(by_them, heights.begin());
    return pads_plane(ground, contacts_, heights);
}

std::vector<std::pair<Eigen::Index, Eigen::Index>> SheetModel::settlings_of_heights() const {
    std::vector<std::pair<Eigen::Index, Eigen::Index>> all;
    for (const HeightRead& p : points_) all.emplace_back(p.settling, p.height);
    return all;
}

/// Over the pads' best plane; readings from the plate less the height of that plane, those from a worn skid less what
/// is worn off: the point lies under a new one.
std::vector<double> SheetModel::point_heights(const VectorXd& x, const Ground& ground) const {
    const bool off_plate = !readings_.heights_from_pads && pads_read();
    std::vector<double> heights;
    for (const HeightRead& p : points_) {
        double height = x(p.height) + x(p.settling);
        if (skid_ != none && p.point->from == HeightFrom::skid) height -= *car_.skid_new_mm - x(skid_);
        if (off_plate)
            height -= pads(x, ground).z(dot(p.point->at_mm, ground.frame.x), dot(p.point->at_mm, ground.frame.y));
        heights.push_back(height);
    }
    return heights;
}

double SheetModel::string_angle_rad(const VectorXd& x, std::size_t c) const {
    const double apart = car_.strings.bars_apart_mm;
    if (!(apart > 0.0)) return 0.0;
    const std::array<int, 2>& ends = string_ends_[c % 2];
    return std::atan((x(ends[0]) - x(ends[1])) / apart);
}

/// Of a car that has settled otherwise than the strings on their stands: + = its nose to the left.
double SheetModel::yaw_rad(const VectorXd& x) const {
    if (lateral_front_ == none) return 0.0;
    return std::atan((x(lateral_front_) - x(lateral_rear_)) / wheel_centres_apart_mm(car_));
}

double SheetModel::gauge_zero_deg(const VectorXd& x) const {
    if (zero_of_file_ != none) return x(zero_of_file_);
    const double checked = 0.5 * (x(zero_facing_) + x(zero_turned_));
    return drift_ == none ? checked : checked + x(drift_);
}

double SheetModel::gauge_zero_at(std::size_t c) const {
    const WheelInputs& w = wheels_[c];
    const bool own_zero = w.turned != none && zero_of_file_ != none;  // turned at the wheel, not checked this morning
    return own_zero ? 0.5 * (at_(w.facing) + at_(w.turned)) : gauge_zero_deg(at_);
}

double SheetModel::inclination_deg(const VectorXd& x, std::size_t c) const {
    const WheelInputs& w = wheels_[c];
    const double settling = x(w.camber_settling_deg);
    if (w.turned != none) return 0.5 * (x(w.facing) - x(w.turned)) + settling;
    return x(w.facing) - gauge_zero_deg(x) + settling;
}

/// A flag turned by d in the wheel's plane, front up, points along cos d h + sin d s; h the plane's level line, s its
/// steepest. Toward the centre line that is cos d sin(toe) - sin d sin(inclination) cos(toe) = (front - rear)/span.
double SheetModel::toe_deg(const VectorXd& x, std::size_t c) const {
    const WheelInputs& w = wheels_[c];
    const double ratio = (x(w.flag_front) - x(w.flag_rear)) / car_.corners[c].wheel.flag_span_mm;
    const double inclination =
        (camber_read(c) ? inclination_deg(x, c) : model_[c][index(Output::inclination)]) * rad_per_deg;
    const double off_level = x(w.flags_off_level_deg) * rad_per_deg;
    const double level = std::cos(off_level), lean = std::sin(off_level) * std::sin(inclination);
    const double to_string = std::asin(ratio / std::hypot(level, lean)) + std::atan2(lean, level);
    const double turned_in =
        is_left(car_.corners[c].id) ? yaw_rad(x) : -yaw_rad(x);  // a nose to the left: toe out there
    return (to_string - string_angle_rad(x, c) + turned_in) * deg_per_rad + x(w.toe_settling_deg);
}

/// Points of the front and of the rear of the rake: the named one and, of a left one, its mirror image.
std::optional<std::array<std::vector<std::size_t>, 2>> SheetModel::rake_points() const {
    std::array<std::vector<std::size_t>, 2> found;
    for (std::size_t end = 0; end < 2; ++end) {
        const std::string& name = end == 0 ? car_.rake_front : car_.rake_rear;
        if (name.empty()) return std::nullopt;
        std::vector<std::string> wanted = {name};
        const std::string left = "_left";
        if (name.ends_with(left)) wanted.push_back(name.substr(0, name.size() - left.size()) + "_right");
        for (const std::string& one : wanted) {
            bool read = false;
            for (std::size_t p = 0; p < points_.size(); ++p)
                if (points_[p].point->name == one) {
                    found[end].push_back(p);
                    read = true;
                }
            if (!read) return std::nullopt;
        }
    }
    return found;
}

/// Every value once, in order: put(quantity, value).
template <class Put>
void SheetModel::list(const VectorXd& x, const Put& put) const {
    const auto at = [](std::size_t c, auto what) { return ValueId(static_cast<CornerId>(c), what); };
    std::array<double, corner_count> toe{};
    for (std::size_t c = 0; c < corner_count; ++c)
        if (toe_read(c)) toe[c] = toe_deg(x, c);
    const auto sum_of = [&](const std::array<double, corner_count>& wheels, CarOutput output, bool derived) {
        put(Quantity{output, derived},
            sum_over_wheels(car_output_list[index(output)], [&](std::size_t c) { return wheels[c]; }));
    };
    const bool rear_single = toe_concluded(2) && toe_concluded(3);
    const bool front_single = toe_concluded(0) && toe_concluded(1);

    for (std::size_t c = 0; c < corner_count; ++c)
        if (toe_concluded(c)) put(Quantity{at(c, Output::toe)}, toe[c]);
    if (axle_read(0) && !front_single) sum_of(toe, CarOutput::total_toe_front, false);
    if (axle_read(2) && !rear_single) sum_of(toe, CarOutput::total_toe_rear, false);
    const Vec3<double> plumb = pads_read() ? plumb_of(pads(x, ground_)) : ground_.plumb;
    std::array<double, corner_count> camber{};
    for (std::size_t c = 0; c < corner_count; ++c)
        if (camber_read(c)) {
            const double at_toe = toe_read(c) ? toe[c] : model_[c][index(Output::toe)];
            camber[c] = camber_from_inclination(inclination_deg(x, c), at_toe, plumb, static_cast<CornerId>(c));
            put(Quantity{at(c, Output::camber)}, camber[c]);
        }
    const std::vector<double> heights = point_heights(x, ground_);
    for (std::size_t p = 0; p < points_.size(); ++p)
        put(Quantity{ValueId::ride_height(car_, points_[p].place)}, heights[p]);
    // The settling of the warp: front left and rear right up, the other two down.
    std::array<double, corner_count> kg{};
    bool all_scales = true;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const bool read = wheels_[c].scale != none;
        all_scales = all_scales && read;
        if (!read) continue;
        kg[c] = x(wheels_[c].scale) + (c == 0 || c == 3 ? 1.0 : -1.0) * x(warp_kg_);
        put(Quantity{at(c, CornerLoad::weight)}, kg[c]);
    }

    if (axle_read(0) && front_single) sum_of(toe, CarOutput::total_toe_front, true);
    if (axle_read(2) && rear_single) {
        sum_of(toe, CarOutput::total_toe_rear, true);
        sum_of(toe, CarOutput::thrust_angle, true);
    }
    if (camber_read(0) && camber_read(1)) sum_of(camber, CarOutput::camber_difference_front, true);
    if (camber_read(2) && camber_read(3)) sum_of(camber, CarOutput::camber_difference_rear, true);
    if (const auto ends = rake_points()) {
        std::array<double, 2> height{};
        std::array<Vec3<double>, 2> middle;
        for (std::size_t end = 0; end < 2; ++end)
            for (const std::size_t p : (*ends)[end]) {
                const double share = 1.0 / static_cast<double>((*ends)[end].size());
                height[end] += share * heights[p];
                middle[end] = middle[end] + points_[p].point->at_mm * share;
            }
        const double rake = height[1] - height[0];
        put(Quantity{CarOutput::rake, true}, rake);
        put(Quantity{CarOutput::rake_angle, true},
            std::asin(rake / std::sqrt(squared(middle[1] - middle[0]))) * deg_per_rad);
    }
    if (wheels_[0].scale != none && wheels_[1].scale != none)
        put(Quantity{CarOutput::front_difference, true}, kg[0] - kg[1]);
    if (wheels_[2].scale != none && wheels_[3].scale != none)
        put(Quantity{CarOutput::rear_difference, true}, kg[2] - kg[3]);
    if (all_scales) {
        const double sum = kg[0] + kg[1] + kg[2] + kg[3];
        put(Quantity{CarOutput::cross_weight, true}, 100.0 * (kg[1] + kg[2]) / sum);
        put(Quantity{CarOutput::front_share, true}, 100.0 * (kg[0] + kg[1]) / sum);
        put(Quantity{CarOutput::left_share, true}, 100.0 * (kg[0] + kg[2]) / sum);
        put(Quantity{CarOutput::total_weight, true}, sum);
    }
}

VectorXd SheetModel::values(const VectorXd& x) const {
    std::vector<double> all;
    list(x, [&all](const Quantity&, double value) { all.push_back(value); });
    return Eigen::Map<const VectorXd>(all.data(), static_cast<Eigen::Index>(all.size()));
}

std::vector<Quantity> SheetModel::quantities() const {
    std::vector<Quantity> all;
    list(at_, [&all](const Quantity& quantity, double) { all.push_back(quantity); });
    return all;
}

}  // namespace shimwise

#include "shimwise/workshop/measure/reduce.hpp"

#include <cmath>
#include <numeric>

#include "shimwise/error.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/measure/reading_notes.hpp"

namespace shimwise {
namespace {

using Eigen::VectorXd;

const double root12 = std::sqrt(12.0);

/// Standard uncertainty of one reading: an even spread over the last digit, and the instrument's repeatability.
double reading_u(double resolution, double repeatability) { return std::hypot(resolution / root12, repeatability); }

/// What the measurement model starts from: independent inputs, each with what comes anew at every reading and what
/// stays.
struct Inputs {
    std::vector<double> value, repeats_u, stays_u;

    int add(double at, double repeats, double stays = 0.0) {
        value.push_back(at);
        repeats_u.push_back(repeats);
        stays_u.push_back(stays);
        return static_cast<int>(value.size()) - 1;
    }
    Uncertain all() const {
        return with([this](std::size_t i) { return std::hypot(repeats_u[i], stays_u[i]); });
    }
    Uncertain repeats() const {
        return with([this](std::size_t i) { return repeats_u[i]; });
    }

private:
    template <class Deviation>
    Uncertain with(Deviation u) const {
        Uncertain x;
        x.value = Eigen::Map<const VectorXd>(value.data(), static_cast<Eigen::Index>(value.size()));
        x.covariance = Eigen::MatrixXd::Zero(x.value.size(), x.value.size());
        for (std::size_t i = 0; i < value.size(); ++i) {
            const auto at = static_cast<Eigen::Index>(i);
            x.covariance(at, at) = u(i) * u(i);
        }
        return x;
    }
};

constexpr int none = -1;

/// Numbers of inputs of a wheel; `none` where not read.
struct WheelInputs {
    int flag_front = none, flag_rear = none, flags_off_level_rad = none, toe_settling_deg = none;
    int facing = none, turned = none, camber_settling_deg = none;
    int scale = none;
};

/// A ride-height point that was read: its place in the car, the number of its input.
struct HeightRead {
    std::size_t place;
    const RideHeightPoint* point;
    int height;
};

/// The measurement model: which input is what, and the values that follow from the inputs.
class Model {
public:
    Model(const Readings& readings, const Car& car) : readings_(readings), car_(car) {
        add_inputs();
        find_ground();
    }

    Measured measured();

private:
    void add_inputs();
    void add_wheel(std::size_t c);
    void find_ground();
    std::vector<double> point_heights(const VectorXd& x, const Ground& ground) const;
    VectorXd values(const VectorXd& x) const;

    Plane pads(const VectorXd& x, const Ground& ground) const {
        std::array<double, corner_count> heights{};
        for (std::size_t c = 0; c < corner_count; ++c) heights[c] = x(pads_[c]);
        return pads_plane(ground, contacts_, heights);
    }
    double string_angle_rad(const VectorXd& x, std::size_t c) const;
    double toe_deg(const VectorXd& x, std::size_t c) const;
    double gauge_zero_deg(const VectorXd& x) const;
    double inclination_deg(const VectorXd& x, std::size_t c) const;
    bool toe_read(std::size_t c) const { return wheels_[c].flag_front != none; }
    bool camber_read(std::size_t c) const { return wheels_[c].facing != none; }
    bool steered(std::size_t c) const { return car_.corners[c].rack_direction.has_value(); }
    bool toe_concluded(std::size_t c) const { return toe_read(c) && (readings_.rack_locked || !steered(c)); }
    bool axle_read(std::size_t left) const { return toe_read(left) && toe_read(left + 1); }
    std::optional<std::array<std::vector<std::size_t>, 2>> rake_points() const;
    template <class Put>
    void list(const VectorXd& x, const Put& put) const;

    const Readings& readings_;
    const Car& car_;
    Inputs inputs_;
    std::array<WheelInputs, corner_count> wheels_;
    std::array<std::array<int, 2>, 2> string_ends_{};  // [left or right][front or rear]
    bool bars_read_ = false;
    int zero_facing_ = none, zero_turned_ = none, zero_of_file_ = none;
    int warp_kg_ = none;
    std::array<int, corner_count> pads_ = {none, none, none, none};
    std::vector<HeightRead> points_;
    Ground ground_;
    Contacts contacts_{};
    std::array<Outputs<double>, corner_count> model_{};
};

void Model::add_inputs() {
    const Instruments& with = car_.instruments;
    bars_read_ = readings_.front_bar_mm && readings_.rear_bar_mm && car_.strings.bars_apart_mm > 0.0;
    for (std::size_t side = 0; side < 2; ++side) {
        const double end_u = car_.strings.end_uncertainty_mm;
        string_ends_[side][0] = inputs_.add(bars_read_ ? (*readings_.front_bar_mm)[side] : 0.0, 0.0, end_u);
        string_ends_[side][1] = inputs_.add(bars_read_ ? (*readings_.rear_bar_mm)[side] : 0.0, 0.0, end_u);
    }
    const CamberGauge& gauge = with.camber_gauge;
    const double camber_u = reading_u(gauge.resolution_deg, gauge.repeatability_deg);
    if (const auto& check = readings_.gauge_check_deg; check && check->turned) {
        // One check serves the whole morning: its two readings do not come anew.
        zero_facing_ = inputs_.add(check->facing, 0.0, camber_u);
        zero_turned_ = inputs_.add(*check->turned, 0.0, camber_u);
    } else {
        zero_of_file_ = inputs_.add(gauge.zero_error_deg, 0.0, gauge.zero_uncertainty_deg);
    }
    warp_kg_ = inputs_.add(0.0, car_.settling.warp_kg);
    if (readings_.pad_height_mm)
        for (std::size_t c = 0; c < corner_count; ++c)  // the datum is set once and stays
            pads_[c] = inputs_.add((*readings_.pad_height_mm)[c], 0.0,
                                   reading_u(with.pad_level.resolution_mm, with.pad_level.repeatability_mm));
    for (std::size_t place = 0; place < car_.ride_heights.size(); ++place) {
        const RideHeightPoint& point = car_.ride_heights[place];
        const auto read = readings_.ride_heights_mm.find(point.name);
        if (read == readings_.ride_heights_mm.end() || read->second.empty()) continue;
        const std::vector<double>& all = read->second;
        const auto n = static_cast<double>(all.size());
        // Repeating averages the hand out, not the last digit that all readings share.
        const double u = reading_u(with.height_gauge.resolution_mm, with.height_gauge.repeatability_mm / std::sqrt(n));
        const double mean = std::accumulate(all.begin(), all.end(), 0.0) / n;
        points_.push_back({place, &point, inputs_.add(mean, std::hypot(u, car_.settling.ride_height_mm))});
    }
    for (std::size_t c = 0; c < corner_count; ++c) add_wheel(c);
}

void Model::add_wheel(std::size_t c) {
    const Instruments& with = car_.instruments;
    const CornerReadings& read = readings_.corners[c];
    WheelInputs& wheel = wheels_[c];
    if (read.flags_mm) {
        const double u = reading_u(with.flag_ruler.resolution_mm, with.flag_ruler.repeatability_mm);
        wheel.flag_front = inputs_.add(read.flags_mm->front_mm, u);
        wheel.flag_rear = inputs_.add(read.flags_mm->rear_mm, u);
        wheel.flags_off_level_rad = inputs_.add(0.0, with.flag_ruler.level_uncertainty_deg * rad_per_deg);
        wheel.toe_settling_deg = inputs_.add(0.0, car_.settling.toe_deg);
    }
    if (read.camber_deg) {
        const double u = reading_u(with.camber_gauge.resolution_deg, with.camber_gauge.repeatability_deg);
        wheel.facing = inputs_.add(read.camber_deg->facing, u);
        if (read.camber_deg->turned) wheel.turned = inputs_.add(*read.camber_deg->turned, u);
        wheel.camber_settling_deg = inputs_.add(0.0, car_.settling.camber_deg);
    }
    if (read.scale_kg) {
        const Scale& scale = with.scale;
        wheel.scale =
            inputs_.add(*read.scale_kg, reading_u(scale.resolution_kg, scale.repeatability_kg),
                        std::hypot(scale.zero_uncertainty_kg, 0.01 * scale.span_uncertainty_percent * *read.scale_kg));
    }
}

bool on_one_line(const std::vector<Vec3<double>>& points) {
    if (points.size() < 3) return true;
    try {
        best_plane(points);
        return false;
    } catch (const std::invalid_argument&) {
        return true;
    }
}

/// The ground asks for the pads' plane under the heights read from the plate, that for the contacts, and those for the
/// ground: twice round is enough, since a contact moves by micrometres.
void Model::find_ground() {
    const VectorXd x = inputs_.all().value;
    std::vector<Vec3<double>> places;
    for (const HeightRead& p : points_) places.push_back(p.point->at_mm);
    const bool by_heights = !on_one_line(places);
    const std::vector<double> on_ground(corner_count, 0.0);
    std::vector<Vec3<double>> drawn;
    for (const Corner& corner : car_.corners) drawn.push_back(drawn_contact(corner));
    ground_ = ground_through(drawn, on_ground);
    for (std::size_t c = 0; c < corner_count; ++c) contacts_[c] = drawn[c];
    for (int round = 0; by_heights && round < 2; ++round) {
        ground_ = ground_through(places, point_heights(x, ground_));
        ground_.from = GroundFrom::ride_heights;
        contacts_ = contacts_on(ground_, car_);
    }
    if (!by_heights) contacts_ = contacts_on(ground_, car_);
    if (pads_[0] != none) ground_.plumb = plumb_of(pads(x, ground_));
    for (std::size_t c = 0; c < corner_count; ++c) model_[c] = outputs_on(ground_, car_.corners[c]);
}

/// Over the pads' best plane; readings from the plate less the height of that plane.
std::vector<double> Model::point_heights(const VectorXd& x, const Ground& ground) const {
    const bool off_plate = !readings_.heights_from_pads && pads_[0] != none;
    std::vector<double> heights;
    for (const HeightRead& p : points_) {
        double height = x(p.height);
        if (off_plate)
            height -= pads(x, ground).z(dot(p.point->at_mm, ground.frame.x), dot(p.point->at_mm, ground.frame.y));
        heights.push_back(height);
    }
    return heights;
}

double Model::string_angle_rad(const VectorXd& x, std::size_t c) const {
    const double apart = car_.strings.bars_apart_mm;
    if (!(apart > 0.0)) return 0.0;
    const std::array<int, 2>& ends = string_ends_[c % 2];
    return std::atan((x(ends[0]) - x(ends[1])) / apart);
}

double Model::gauge_zero_deg(const VectorXd& x) const {
    return zero_of_file_ != none ? x(zero_of_file_) : 0.5 * (x(zero_facing_) + x(zero_turned_));
}

double Model::inclination_deg(const VectorXd& x, std::size_t c) const {
    const WheelInputs& w = wheels_[c];
    const double settling = x(w.camber_settling_deg);
    if (w.turned != none) return 0.5 * (x(w.facing) - x(w.turned)) + settling;
    return x(w.facing) - gauge_zero_deg(x) + settling;
}

/// A flag turned by d in the wheel's plane, front up, points along cos d h + sin d s; h the plane's level line, s its
/// steepest. Toward the centre line that is cos d sin(toe) - sin d sin(inclination) cos(toe) = (front - rear)/span.
double Model::toe_deg(const VectorXd& x, std::size_t c) const {
    const WheelInputs& w = wheels_[c];
    const double ratio = (x(w.flag_front) - x(w.flag_rear)) / car_.corners[c].wheel.flag_span_mm;
    const double inclination =
        (camber_read(c) ? inclination_deg(x, c) : model_[c][index(Output::inclination)]) * rad_per_deg;
    const double level = std::cos(x(w.flags_off_level_rad));
    const double lean = std::sin(x(w.flags_off_level_rad)) * std::sin(inclination);
    const double to_string = std::asin(ratio / std::hypot(level, lean)) + std::atan2(lean, level);
    return (to_string - string_angle_rad(x, c)) * deg_per_rad + x(w.toe_settling_deg);
}

/// Points of the front and of the rear of the rake: the named one and, of a left one, its mirror image.
std::optional<std::array<std::vector<std::size_t>, 2>> Model::rake_points() const {
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
void Model::list(const VectorXd& x, const Put& put) const {
    const auto at = [](std::size_t c, auto what) { return ValueId(static_cast<CornerId>(c), what); };
    std::array<double, corner_count> toe{};
    for (std::size_t c = 0; c < corner_count; ++c)
        if (toe_read(c)) toe[c] = toe_deg(x, c);
    const auto of_toe = [&](CarOutput output, bool derived) {
        double sum = 0.0;
        for (std::size_t c = 0; c < corner_count; ++c) sum += car_output_list[index(output)].of_toe[c] * toe[c];
        put(Quantity{output, derived}, sum);
    };
    const bool rear_single = toe_concluded(2) && toe_concluded(3);
    const bool front_single = toe_concluded(0) && toe_concluded(1);

    for (std::size_t c = 0; c < corner_count; ++c)
        if (toe_concluded(c)) put(Quantity{at(c, Output::toe)}, toe[c]);
    if (axle_read(0) && !front_single) of_toe(CarOutput::total_toe_front, false);
    if (axle_read(2) && !rear_single) of_toe(CarOutput::total_toe_rear, false);
    const Vec3<double> plumb = pads_[0] != none ? plumb_of(pads(x, ground_)) : ground_.plumb;
    for (std::size_t c = 0; c < corner_count; ++c)
        if (camber_read(c)) {
            const double at_toe = toe_read(c) ? toe[c] : model_[c][index(Output::toe)];
            put(Quantity{at(c, Output::camber)},
                camber_from_inclination(inclination_deg(x, c), at_toe, plumb, static_cast<CornerId>(c)));
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

    if (axle_read(0) && front_single) of_toe(CarOutput::total_toe_front, true);
    if (axle_read(2) && rear_single) {
        of_toe(CarOutput::total_toe_rear, true);
        of_toe(CarOutput::thrust_angle, true);
    }
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

VectorXd Model::values(const VectorXd& x) const {
    std::vector<double> all;
    list(x, [&all](const Quantity&, double value) { all.push_back(value); });
    return Eigen::Map<const VectorXd>(all.data(), static_cast<Eigen::Index>(all.size()));
}

Measured Model::measured() {
    Measured m;
    const Uncertain all = inputs_.all();
    list(all.value, [&m](const Quantity& quantity, double) { m.quantities.push_back(quantity); });
    const VectorFunction function = [this](const VectorXd& x) { return values(x); };
    if (m.quantities.empty()) {
        m.values.covariance = m.repeat_covariance = Eigen::MatrixXd::Zero(0, 0);
    } else {
        m.values = propagate(function, all);
        m.repeat_covariance = propagate(function, inputs_.repeats()).covariance;
    }
    m.ground = ground_;
    for (std::size_t c = 0; c < corner_count; ++c) {
        m.string_angle_deg[c] = string_angle_rad(all.value, c) * deg_per_rad;
        const WheelInputs& w = wheels_[c];
        const bool own_zero =
            w.turned != none && zero_of_file_ != none;  // turned at the wheel, not checked this morning
        m.gauge_zero_deg[c] = own_zero ? 0.5 * (all.value(w.facing) + all.value(w.turned)) : gauge_zero_deg(all.value);
    }
    return m;
}

void demand_flags_within_span(const Readings& readings, const Car& car) {
    std::vector<Problem> problems;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const auto& flags = readings.corners[c].flags_mm;
        if (!flags) continue;
        const double span = car.corners[c].wheel.flag_span_mm;
        if (!(std::fabs(flags->front_mm - flags->rear_mm) < span))
            problems.push_back({readings.file, 0, 0, std::string(corner_names[c]) + ".flags_mm", "",
                                "front and rear must differ by less than the flags' span"});
    }
    if (!problems.empty()) throw InputError(std::move(problems));
}

Measured measured_of(const Readings& readings, const Car& car) {
    try {
        return Model(readings, car).measured();
    } catch (const std::domain_error&) {
        throw InputError({{readings.file, 0, 0, "", "",
                           "no finite values follow from these readings and what they may be off: one of the numbers "
                           "cannot be"}});
    }
}

/// Plumb with y outboard.
Vec3<double> outboard(const Vec3<double>& plumb, CornerId id) {
    return {plumb.x, is_left(id) ? plumb.y : -plumb.y, plumb.z};
}

}  // namespace

std::optional<std::size_t> Measured::find(const ValueId& id) const {
    for (std::size_t i = 0; i < quantities.size(); ++i)
        if (quantities[i].id == id) return i;
    return std::nullopt;
}

std::optional<double> Measured::value(const ValueId& id) const {
    const auto at = find(id);
    return at ? std::optional<double>(values.value(static_cast<Eigen::Index>(*at))) : std::nullopt;
}

std::optional<double> Measured::uncertainty(const ValueId& id) const {
    const auto at = find(id);
    if (!at) return std::nullopt;
    const auto i = static_cast<Eigen::Index>(*at);
    return std::sqrt(values.covariance(i, i));
}

std::optional<std::size_t> Measured::find(std::string_view key) const {
    for (std::size_t i = 0; i < quantities.size(); ++i)
        if (shimwise::key(quantities[i].id) == key) return i;
    return std::nullopt;
}

std::optional<double> Measured::value(std::string_view key) const {
    const auto at = find(key);
    return at ? value(quantities[*at].id) : std::nullopt;
}

std::optional<double> Measured::uncertainty(std::string_view key) const {
    const auto at = find(key);
    return at ? uncertainty(quantities[*at].id) : std::nullopt;
}

double camber_from_inclination(double inclination_deg, double toe_deg, const Vec3<double>& plumb, CornerId id) {
    const Vec3<double> p = outboard(plumb, id);
    const double s = std::sin(inclination_deg * rad_per_deg);
    const double t = std::tan(toe_deg * rad_per_deg);
    const double level = t * p.x + p.y;  // c pz - level = s sqrt(1 + t^2 + c^2), solved for c
    const double room = p.z * p.z - s * s;
    const double c = (level * p.z + s * std::sqrt(level * level + (1.0 + t * t) * room)) / room;
    return std::atan(c) * deg_per_rad;
}

double inclination_from_camber(double camber_deg, double toe_deg, const Vec3<double>& plumb, CornerId id) {
    const Vec3<double> p = outboard(plumb, id);
    const double t = std::tan(toe_deg * rad_per_deg);
    const double c = std::tan(camber_deg * rad_per_deg);
    return -std::asin((t * p.x + p.y - c * p.z) / std::sqrt(1.0 + t * t + c * c)) * deg_per_rad;
}

double flag_difference_mm(double toe_deg, double string_angle_deg, double flag_span_mm) {
    return flag_span_mm * std::sin((toe_deg + string_angle_deg) * rad_per_deg);
}

Measured reduce(const Readings& readings, const Car& car) {
    demand_flags_within_span(readings, car);
    std::vector<std::string> notes;
    Settings read = settings_read(car, readings, notes);
    const Car now = as_read(car, read);
    Measured measured = measured_of(readings, now);
    measured.given = readings;
    measured.ballast_kg = readings.ballast_kg;
    measured.bars = readings.bars;
    measured.struts_solid = readings.struts_solid;
    measured.read = std::move(read);
    measured.notes = reading_notes(readings, now, measured);
    measured.notes.insert(measured.notes.end(), notes.begin(), notes.end());
    return measured;
}

}  // namespace shimwise

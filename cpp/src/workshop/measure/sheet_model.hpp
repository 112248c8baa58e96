// The measurement model of a sheet of readings: its inputs, and the values that follow from them.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "shimwise/workshop/measure/input_quantities.hpp"
#include "shimwise/workshop/measure/reduce.hpp"

namespace shimwise {

class SheetModel {
public:
    /// Throws OutOfReach where the car cannot stand on the ground that was measured.
    SheetModel(const Readings& readings, const Car& car);

    const std::vector<InputQuantity>& inputs() const { return inputs_; }
    /// Numbers of inputs that are added up: a height's settling, and the height.
    std::vector<std::pair<Eigen::Index, Eigen::Index>> settlings_of_heights() const;
    const Ground& ground() const { return ground_; }
    /// As read.
    const Eigen::VectorXd& at() const { return at_; }
    std::vector<Quantity> quantities() const;
    /// Every value once, in their order.
    Eigen::VectorXd values(const Eigen::VectorXd& x) const;
    double string_angle_rad(const Eigen::VectorXd& x, std::size_t c) const;
    /// What the gauge adds at this wheel, as it is held.
    double gauge_zero_at(std::size_t c) const;

private:
    static constexpr int none = -1;

    /// Numbers of inputs of a wheel; `none` where not read.
    struct WheelInputs {
        int flag_front = none, flag_rear = none, flags_off_level_deg = none, toe_settling_deg = none;
        int facing = none, turned = none, camber_settling_deg = none;
        int scale = none;
    };

    /// A ride-height point that was read: its place in the car, the number of its input.
    struct HeightRead {
        std::size_t place;
        const RideHeightPoint* point;
        int height, settling;
    };

    /// Repeating does not settle the car anew; another set does.
    Spread settled_in(double u, const std::string& reading) const;
    int add(InputKind kind, std::string key, std::string unit, double value, Spread anew, Spread stays = {});
    void add_strings();
    void add_lateral_settling();
    void add_gauge_zero();
    void add_pads();
    void add_heights();
    void add_wheel(std::size_t c);
    void add_lengths(std::size_t c);
    void find_ground();

    std::vector<double> point_heights(const Eigen::VectorXd& x, const Ground& ground) const;
    Plane pads(const Eigen::VectorXd& x, const Ground& ground) const;
    double toe_deg(const Eigen::VectorXd& x, std::size_t c) const;
    double yaw_rad(const Eigen::VectorXd& x) const;
    double gauge_zero_deg(const Eigen::VectorXd& x) const;
    double inclination_deg(const Eigen::VectorXd& x, std::size_t c) const;
    bool pads_read() const { return first_pad_ != none; }
    bool toe_read(std::size_t c) const { return wheels_[c].flag_front != none; }
    bool camber_read(std::size_t c) const { return wheels_[c].facing != none; }
    bool steered(std::size_t c) const { return car_.corners[c].rack_direction.has_value(); }
    bool toe_concluded(std::size_t c) const { return toe_read(c) && (readings_.rack_locked || !steered(c)); }
    bool axle_read(std::size_t left) const { return toe_read(left) && toe_read(left + 1); }
    std::optional<std::array<std::vector<std::size_t>, 2>> rake_points() const;
    template <class Put>
    void list(const Eigen::VectorXd& x, const Put& put) const;

    const Readings& readings_;
    const Car& car_;
    const Settling settling_;
    std::vector<InputQuantity> inputs_;
    Eigen::VectorXd at_;
    std::array<WheelInputs, corner_count> wheels_;
    std::array<std::array<int, 2>, 2> string_ends_{};  // [left or right][front or rear]
    int zero_facing_ = none, zero_turned_ = none, zero_of_file_ = none, drift_ = none;
    int warp_kg_ = none;
    int skid_ = none;
    int lateral_front_ = none, lateral_rear_ = none;  // of a car that moves between strings on stands
    int first_pad_ = none;                            // of the inputs that the pads follow from
    Eigen::MatrixXd pads_by_them_;                    // their heights: a row per corner
    std::vector<HeightRead> points_;
    Ground ground_;
    Contacts contacts_{};
    std::array<Outputs<double>, corner_count> model_{};
};

}  // namespace shimwise

#include "rest/on_width.hpp"

#include <Eigen/Core>
#include <cmath>
#include <utility>

#include "math/decompositions.hpp"
#include "rest/standing.hpp"
#include "shimwise/motion/contact.hpp"
#include "shimwise/tolerances.hpp"

namespace shimwise {
namespace {

using namespace rest_system;
using Eigen::Matrix4d;
using Eigen::Vector4d;

constexpr double difference_mm = 0.01, last_mm = 1e-8, past_edge = 1e-6;  // of the half width
constexpr int most_steps = 20, most_changes = 12;

/// To the circle that stands.
Geometry narrowed(Geometry disc, double place_mm) {
    disc.half_width_mm = 0.0;
    disc.offset_mm += place_mm;
    return disc;
}

/// By corner; 0, and a row and a column of the unit matrix, for wheels that stand as they lean.
class PlacesOnWidth {
public:
    PlacesOnWidth(const RestModel& m, const PadHeights& pads_mm, const ContactJumps& jump)
        : m_(m), pads_mm_(pads_mm), jump_(jump), found_{m, jump.at, {}, {}} {
        join();
    }

    OnWidth found() {
        for (int changes = 0; changes < most_changes; ++changes) {
            try {
                if (meets()) return std::move(found_);
                if (!leave()) break;
            } catch (const ContactJumps& another) {
                jump_ = another;
                join();
            }
        }
        throw jump_;
    }

private:
    bool stands_on_width(std::size_t c) const { return side_[c] != 0.0; }
    double half_width_mm(std::size_t c) const { return m_.setups[c].geometry.half_width_mm; }

    /// Another wheel. Its first place is half way to the edge that it leans to.
    void join() {
        const std::size_t c = jump_.corner;
        if (stands_on_width(c)) throw jump_;
        side_[c] = lean(c, set_corners(found_.model), jump_.at) > 0.0 ? -1.0 : 1.0;
        places_mm_(static_cast<Eigen::Index>(c)) = 0.5 * side_[c] * half_width_mm(c);
        found_.at = jump_.at;
    }

    double lean(std::size_t c, const SetCorners& corners, const Posture& at) const {
        const Vec3<double> up = plumb_up(at.pose.pitch_rad, at.pose.roll_rad + at.pose.twist_rad * share_of(c));
        return along(pose(corners[c].linkage, at.half_tan[c]).wheel_axis, up);
    }

    /// By how much each of them leans past the jump where the car rests on these places.
    Vector4d past_jump(const Vector4d& places_mm) {
        Vector4d past = Vector4d::Zero();
        for (std::size_t c = 0; c < corner_count; ++c) {
            if (!stands_on_width(c)) continue;
            found_.on_width_mm[c] = places_mm(static_cast<Eigen::Index>(c));
            found_.model.setups[c].geometry = narrowed(m_.setups[c].geometry, *found_.on_width_mm[c]);
        }
        const SetCorners corners = set_corners(found_.model);
        found_.at = RestSearch(found_.model, corners, pads_mm_).from_near(found_.at, found_.energies_Nmm);
        for (std::size_t c = 0; c < corner_count; ++c)
            if (stands_on_width(c))
                past(static_cast<Eigen::Index>(c)) = lean(c, corners, found_.at) + side_[c] * tolerances::upright_sine;
        return past;
    }

    bool on_disc(std::size_t c) const {
        const double share = side_[c] * places_mm_(static_cast<Eigen::Index>(c)) / half_width_mm(c);
        return share > -past_edge && share < 1.0 + past_edge;
    }

    /// Lets the wheels go whose places are beyond their discs: they stand as they lean. False where there is none.
    bool leave() {
        bool any = false;
        for (std::size_t c = 0; c < corner_count; ++c) {
            if (!stands_on_width(c) || on_disc(c)) continue;
            side_[c] = places_mm_(static_cast<Eigen::Index>(c)) = 0.0;
            found_.model.setups[c].geometry = m_.setups[c].geometry;
            found_.on_width_mm[c].reset();
            any = true;
        }
        return any;
    }

    /// Newton's method with differences: leans are nearly linear in the places.
    bool meets() {
        Vector4d past = past_jump(places_mm_);
        Matrix4d by_places = Matrix4d::Identity();
        for (Eigen::Index c = 0; c < by_places.cols(); ++c)
            if (stands_on_width(static_cast<std::size_t>(c)))
                by_places.col(c) = (past_jump(places_mm_ + Vector4d::Unit(c) * difference_mm) - past) / difference_mm;
        for (int step = 0; step < most_steps; ++step) {
            const Vector4d moves_mm = -solve_square(by_places, past);
            places_mm_ += moves_mm;
            for (std::size_t c = 0; c < corner_count; ++c)
                if (stands_on_width(c) && !on_disc(c)) return false;
            past = past_jump(places_mm_);
            if (moves_mm.cwiseAbs().maxCoeff() < last_mm) return true;
        }
        return false;
    }

    const RestModel& m_;
    const PadHeights& pads_mm_;
    ContactJumps jump_;  // the last one
    OnWidth found_;
    Vector4d places_mm_ = Vector4d::Zero();
    std::array<double, corner_count> side_{};  // + = outboard
};

}  // namespace

OnWidth on_width(const RestModel& model, const PadHeights& pads_mm, const ContactJumps& jump) {
    return PlacesOnWidth(model, pads_mm, jump).found();
}

std::optional<RestModel> with_contacts_of(const RestModel& model, const RestState& state) {
    std::optional<RestModel> kept;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const std::optional<double>& place_mm = state.corners[c].on_width_mm;
        if (!place_mm || model.setups[c].geometry.half_width_mm == 0.0) continue;
        if (!kept) kept = model;
        kept->setups[c].geometry = narrowed(model.setups[c].geometry, *place_mm);
    }
    return kept;
}

}  // namespace shimwise

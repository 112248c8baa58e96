#include "shimwise/workshop/measure/ground.hpp"

#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/motion/closing.hpp"
#include "shimwise/motion/rates.hpp"

namespace shimwise {
namespace {

constexpr int most_fits = 50;  // each brings the normal nearer by a factor of about its tilt
constexpr double normal_repeats = 1e-15;

[[noreturn]] void out_of_reach(const Corner& corner, const std::string& why) {
    throw OutOfReach(std::string(corner_names[index(corner.id)]) + " cannot stand on the ground as it is set: " + why);
}

}  // namespace

std::string frame_words(const Ground& ground) {
    return "Toe and camber to the ground: " + std::string(ground_from_words[index(ground.from)]) + ".";
}

Ground ground_through(const std::vector<Vec3<double>>& points_mm, const std::vector<double>& heights_mm) {
    Vec3<double> normal = {0.0, 0.0, 1.0};
    Ground ground;
    for (int i = 0; i < most_fits; ++i) {
        std::vector<Vec3<double>> on_ground;
        for (std::size_t p = 0; p < points_mm.size(); ++p) on_ground.push_back(points_mm[p] - normal * heights_mm[p]);
        const Plane plane = best_plane(on_ground);
        const double scale = 1.0 / std::sqrt(plane.a * plane.a + plane.b * plane.b + 1.0);
        const Vec3<double> next = {-plane.a * scale, -plane.b * scale, scale};
        const double moved = std::sqrt(squared(next - normal));
        normal = next;
        ground.under_origin_mm = -plane.c * scale;
        if (moved <= normal_repeats) break;
    }
    ground.frame = frame_over(normal);
    return ground;
}

Plane pads_plane(const Ground& ground, const Contacts& contacts,
                 const std::array<double, corner_count>& pad_height_mm) {
    std::vector<Vec3<double>> tops;
    for (std::size_t c = 0; c < corner_count; ++c)
        tops.emplace_back(dot(contacts[c], ground.frame.x), dot(contacts[c], ground.frame.y), pad_height_mm[c]);
    return best_plane(tops);
}

Vec3<double> plumb_of(const Plane& pads) {
    return {pads.a, pads.b, std::sqrt(1.0 - pads.a * pads.a - pads.b * pads.b)};
}

Contacts contacts_on(const Ground& ground, const Car& car) {
    Contacts contacts;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const Setup now = setup(car.corners[c]);
        const Linkage<double> l = linkage(now.geometry, now.parts());
        const Solved solved = solve(l, ground.hold(), ground.held_value());
        if (solved.status != Status::ok)
            out_of_reach(car.corners[c], refusal(now, solved, ground.hold(), ground.held_value()));
        contacts[c] = contact(l, solved.pose, ground.frame.z);
    }
    return contacts;
}

Outputs<double> outputs_on(const Ground& ground, const Corner& corner) {
    try {
        return outputs_at(setup(corner), ground.hold(), ground.held_value(), ground.frame);
    } catch (const OutOfReach& error) {
        out_of_reach(corner, error.what());
    }
}

}  // namespace shimwise

// Why a state cannot be reached, as a table of many states can hold it.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "shimwise/error.hpp"
#include "shimwise/model/names.hpp"

namespace shimwise {

/// What stands in the way of a state; `none`: it is reached.
enum class Obstacle {
    none,
    upper_wishbone_open,
    track_rod_open,
    pushrod_open,
    held_value_out_of_range,
    drop_link_open,
    damper_past_shortest,
    spring_would_pull,
    wheel_off_pad,
    end_of_travel,
    contact_jumps,
    no_rest,
    no_real_car,
    shims_not_at_hand,
};
inline constexpr std::array<std::string_view, 14> obstacle_names = {"reached",
                                                                    "upper_wishbone_open",
                                                                    "track_rod_open",
                                                                    "pushrod_open",
                                                                    "held_value_out_of_range",
                                                                    "drop_link_open",
                                                                    "damper_past_shortest",
                                                                    "spring_would_pull",
                                                                    "wheel_off_pad",
                                                                    "end_of_travel",
                                                                    "contact_jumps",
                                                                    "no_rest",
                                                                    "no_real_car",
                                                                    "shims_not_at_hand"};

/// The obstacle, the first corner that meets it and by how much it falls short: mm, or N where forces are missing; 0
/// where it has no amount. Never less than 0.
struct Shortfall {
    Obstacle what = Obstacle::none;
    std::optional<CornerId> corner = {};
    double by_mm = 0.0;
    double by_N = 0.0;
};

/// An OutOfReach that says it both ways.
class Unreached : public OutOfReach {
public:
    Unreached(const std::string& why, const Shortfall& by) : OutOfReach(why), shortfall(by) {}
    Shortfall shortfall;
};

}  // namespace shimwise

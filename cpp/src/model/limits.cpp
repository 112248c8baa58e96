#include "shimwise/model/limits.hpp"

#include <cmath>

#include "files/shown.hpp"

namespace shimwise {
namespace {

using files::shown;

constexpr double slack = 1e-9;  // of a sum of shims, of a product of turns and lead

bool within(double value, const std::pair<double, double>& limits) {
    return value >= limits.first - slack && value <= limits.second + slack;
}

std::string limits_words(const std::pair<double, double>& limits) {
    return shown(limits.first) + " to " + shown(limits.second);
}

/// A limit of a thread that a setting breaks, and by what: turns, the length, the thread that is engaged. In numbers,
/// since a plan asks it of every step that there is.
struct BrokenThread {
    enum class Limit { turns, length, engagement } limit;
    double by = 0.0;
};

std::optional<BrokenThread> breaks(const Car& car, CornerId id, const Adjuster& adjuster, double turns) {
    using Limit = BrokenThread::Limit;
    const Thread& thread = *adjuster.thread();
    if (thread.limits_turns && !within(turns, *thread.limits_turns)) return BrokenThread{Limit::turns, turns};
    if (thread.length_limits_mm && adjuster.length()) {
        const double present_mm = present_length_mm(car, id, *adjuster.length()).value_or(std::nan(""));
        const double length_mm = present_mm - adjuster.amount_mm() + amount_mm(adjuster, turns);
        if (!within(length_mm, *thread.length_limits_mm)) return BrokenThread{Limit::length, length_mm};
    }
    if (thread.engaged_mm) {
        const auto [outer, inner] = engaged_mm(thread, turns);
        const double least = std::fmin(outer, inner);
        if (!(least >= thread.least_engaged_mm - slack)) return BrokenThread{Limit::engagement, least};
    }
    return std::nullopt;
}

std::optional<BrokenLimit> broken_thread(const Car& car, CornerId id, const Adjuster& adjuster, double turns) {
    const auto broken = breaks(car, id, adjuster, turns);
    if (!broken) return std::nullopt;
    const Thread& thread = *adjuster.thread();
    const std::string by = shown(broken->by);
    switch (broken->limit) {
        case BrokenThread::Limit::turns:
            return BrokenLimit{"limits_turns", "excludes the setting of " + by + " turns: allowed are " +
                                                   limits_words(*thread.limits_turns)};
        case BrokenThread::Limit::length:
            return BrokenLimit{"length_limits_mm", "excludes the length of " + by + " mm at " + shown(turns) +
                                                       " turns: allowed are " + limits_words(*thread.length_limits_mm)};
        case BrokenThread::Limit::engagement:
            break;
    }
    return BrokenLimit{"least_engaged_mm", "too little thread is engaged: " + by + " mm at " + shown(turns) +
                                               " turns, needs " + shown(thread.least_engaged_mm) + " mm"};
}

std::optional<BrokenLimit> broken_stack(const Stack& stack, double total_mm) {
    if (!(total_mm >= 0.0)) return BrokenLimit{"fitted_mm", "adds up to less than nothing: " + shown(total_mm) + " mm"};
    if (stack.limits_mm && !within(total_mm, *stack.limits_mm))
        return BrokenLimit{"limits_mm", "excludes the stack of " + shown(total_mm) + " mm: allowed are " +
                                            limits_words(*stack.limits_mm)};
    return std::nullopt;
}

/// The two ends of a length, where they are given.
std::pair<std::optional<Vec3<double>>, std::optional<Vec3<double>>> ends(const Car& car, CornerId id, Length length) {
    const auto& points = car[id].points;
    const auto at = [&](Point point) { return points[index(point)]; };
    const bool rocker = car[id].has_rocker();
    switch (length) {
        case Length::upper_wishbone_front_leg:
            return {at(Point::upper_wishbone_front), at(Point::upper_wishbone_outer)};
        case Length::upper_wishbone_rear_leg:
            return {at(Point::upper_wishbone_rear), at(Point::upper_wishbone_outer)};
        case Length::lower_wishbone_front_leg:
            return {at(Point::lower_wishbone_front), at(Point::lower_wishbone_outer)};
        case Length::lower_wishbone_rear_leg:
            return {at(Point::lower_wishbone_rear), at(Point::lower_wishbone_outer)};
        case Length::track_rod:
            return {at(Point::track_rod_inner), at(Point::track_rod_outer)};
        case Length::pushrod:
            return {at(Point::pushrod_inner), at(Point::pushrod_outer)};
        case Length::spring_platform:
            return {at(Point::spring_chassis), at(rocker ? Point::rocker_spring : Point::spring_outer)};
        case Length::drop_link: {
            const std::optional<Bar>& bar = car.bars[is_front(id) ? 0 : 1];
            std::optional<Vec3<double>> arm;
            if (bar) arm = bar->arm[is_left(id) ? 0 : 1];
            return {arm, at(rocker ? Point::rocker_drop_link : Point::drop_link_outer)};
        }
    }
    return {};
}

}  // namespace

std::optional<double> drawn_length_mm(const Car& car, CornerId id, Length length) {
    const auto [a, b] = ends(car, id, length);
    if (!a || !b) return std::nullopt;
    return std::sqrt(squared(*b - *a));
}

std::optional<double> present_length_mm(const Car& car, CornerId id, Length length) {
    auto length_mm = drawn_length_mm(car, id, length);
    for (const Adjuster& adjuster : car[id].adjusters)
        if (length_mm && adjuster.length() == length) *length_mm += adjuster.amount_mm();
    return length_mm;
}

std::pair<double, double> engaged_mm(const Thread& thread, double turns) {
    const auto [outer, inner] = *thread.engaged_mm;
    if (thread.ends == Ends::same_hand)
        return {outer + turns * thread.second_pitch_mm, inner - turns * thread.pitch_mm};
    return {outer - turns * thread.pitch_mm, inner - turns * thread.pitch_mm};
}

std::optional<BrokenLimit> broken_limit(const Car& car, CornerId id, const Adjuster& adjuster, double setting) {
    if (adjuster.thread()) return broken_thread(car, id, adjuster, setting);
    return broken_stack(*adjuster.stack(), setting);
}

bool can_be_turned_to(const Car& car, CornerId id, const Adjuster& thread, double turns) {
    return !breaks(car, id, thread, turns);
}

double amount_mm(const Adjuster& adjuster, double setting) {
    if (const Thread* thread = adjuster.thread()) return setting * thread->lead_mm();
    return setting - adjuster.stack()->drawn_with_mm;
}

double present_setting(const Adjuster& adjuster) {
    const Thread* thread = adjuster.thread();
    return thread ? thread->now_turns : adjuster.stack()->total_mm();
}

}  // namespace shimwise

#include "shimwise/workshop/choose/allowed.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "catch.hpp"
#include "shimwise/model/limits.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

namespace {

Adjuster stack_of(std::vector<double> fitted_mm) {
    Adjuster adjuster;
    adjuster.name = "shim";
    adjuster.minutes = 8.0;
    Stack stack;
    stack.drawn_with_mm = 2.0;
    stack.fitted_mm = std::move(fitted_mm);
    stack.thickness_uncertainty_mm = 0.01;
    adjuster.setting = stack;
    return adjuster;
}

void check_ascending(const Allowed& allowed) {
    for (std::size_t i = 0; i + 1 < allowed.settings.size(); ++i)
        CHECK(allowed.settings[i].setting < allowed.settings[i + 1].setting);
}

/// Where it stands now, nothing is done and nothing is missed; everywhere else there is.
void check_present(const Allowed& allowed, const Adjuster& adjuster) {
    REQUIRE(allowed.present);
    for (std::size_t i = 0; i < allowed.settings.size(); ++i) {
        const AllowedSetting& one = allowed.settings[i];
        INFO(adjuster.name << " at " << one.setting);
        const bool present = i == *allowed.present;
        CHECK((one.steps == 0.0) == present);
        CHECK(one.minutes == (present ? 0.0 : adjuster.minutes));
        const std::size_t moved = one.shims ? one.shims->moved() : present ? 0 : 1;
        CHECK((moved == 0) == present);
        CHECK(one.variance_mm2 == setting_variance_mm2(adjuster, moved));
        CHECK_NEAR(one.steps * allowed.step_mm, one.amount_mm - adjuster.amount_mm(), 1e-9);
    }
}

}  // namespace

TEST_CASE("a thread is allowed every whole step inside its limits, and the next one beyond breaks them") {
    Morning m = wren_morning();
    int threads = 0;
    for (const Corner& corner : m.car.corners)
        for (const Adjuster& adjuster : corner.adjusters) {
            const Thread* thread = adjuster.thread();
            if (!thread) continue;
            ++threads;
            const Allowed allowed = allowed_turns(m.car, corner.id, adjuster);
            check_ascending(allowed);
            check_present(allowed, adjuster);
            for (const AllowedSetting& one : allowed.settings) {
                CHECK_NEAR(one.setting - thread->now_turns, one.steps * thread->step_turns, 1e-12);
                CHECK_FALSE(broken_limit(m.car, corner.id, adjuster, one.setting));
            }
            const double reach = limited(*thread) ? most_turns : most_turns_without_limits;
            for (const auto& [end, way] : {std::pair(allowed.settings.front(), -1.0), {allowed.settings.back(), 1.0}}) {
                const double next = end.setting + way * thread->step_turns;
                CHECK((broken_limit(m.car, corner.id, adjuster, next) ||
                       std::fabs(next - thread->now_turns) > reach + 1e-9));
            }
        }
    CHECK(threads > 8);
}

TEST_CASE("a thread beyond its limits has no present setting, and one without limits a shorter reach") {
    Morning m = wren_morning();
    Thread& thread = m.thread(CornerId::front_left, "track rod");
    const Adjuster& adjuster = m.adjuster(CornerId::front_left, "track rod");
    thread.length_limits_mm.reset();
    thread.engaged_mm.reset();
    thread.limits_turns = {1.0, 3.0};
    CHECK(limited(thread));
    const Allowed beyond = allowed_turns(m.car, CornerId::front_left, adjuster);
    CHECK_FALSE(beyond.present);
    REQUIRE_FALSE(beyond.settings.empty());
    CHECK(beyond.settings.front().setting >= 1.0);
    thread.limits_turns.reset();
    CHECK_FALSE(limited(thread));
    const Allowed free = allowed_turns(m.car, CornerId::front_left, adjuster);
    CHECK_NEAR(free.settings.back().setting, most_turns_without_limits, thread.step_turns);
    CHECK(free.settings.back().setting <= most_turns_without_limits + 1e-9);
}

TEST_CASE("a stack is allowed every pack of its shims and those at hand, counted in thinnest shims") {
    const Adjuster adjuster = stack_of({1.0, 0.5});
    const Allowed allowed = allowed_packs(adjuster, {0.2});
    CHECK(allowed.settings.size() == 8);
    CHECK(allowed.step_mm == 0.2);
    check_ascending(allowed);
    check_present(allowed, adjuster);
    for (const AllowedSetting& one : allowed.settings) {
        REQUIRE(one.shims);
        CHECK(one.shims->total_mm == one.setting);
        CHECK_NEAR(one.amount_mm, one.setting - 2.0, 1e-12);
        CHECK_NEAR(one.variance_mm2, 1e-4 * static_cast<double>(one.shims->moved()), 1e-15);
    }
    CHECK(allowed_packs(stack_of({1.5}), {2.0}).step_mm == 1.0);
    CHECK(allowed_packs(stack_of({}), {}).settings.size() == 1);
}

TEST_CASE("one step each way: a thread's own, or the next packs of what is fitted and in the box") {
    Morning m = wren_morning();
    const Thread& thread = m.thread(CornerId::front_left, "track rod");
    const auto turned = one_step_mm(m.car, m.adjuster(CornerId::front_left, "track rod"));
    CHECK(turned.first == thread.step_turns * thread.lead_mm());
    CHECK(turned.second == -turned.first);
    Adjuster adjuster = stack_of({1.0, 0.5});
    std::get<Stack>(adjuster.setting).box_mm = {0.2, 0.2};
    CHECK_NEAR(one_step_mm(m.car, adjuster).first, 0.2, 1e-12);
    CHECK_NEAR(one_step_mm(m.car, adjuster).second, -0.1, 1e-12);  // 1.0 + 0.2 + 0.2
    CHECK(one_step_mm(m.car, stack_of({})) == std::pair(0.0, 0.0));
    CHECK(hand_step_mm(m.car, adjuster) == 0.2);
    CHECK(hand_step_mm(m.car, stack_of({1.5})) == 1.5);
    CHECK(hand_step_mm(m.car, stack_of({})) == 1.0);
}

TEST_CASE("settings near an amount come nearest first, with as it stands among a thread's") {
    Morning m = wren_morning();
    const Adjuster& rod = m.adjuster(CornerId::front_left, "track rod");
    for (const double amount_mm : {0.33, -2.7, 0.0, 0.1}) {
        INFO(amount_mm);
        const double step_mm = 0.25;
        const auto near = settings_near(rod, step_mm, {}, amount_mm, 2);
        CHECK_NEAR(near.front().amount_mm, step_mm * std::round(amount_mm / step_mm), 1e-12);
        bool stands = false;
        for (std::size_t i = 0; i < near.size(); ++i) {
            stands = stands || near[i].amount_mm == 0.0;
            CHECK_NEAR(near[i].off_steps, std::fabs(near[i].amount_mm - amount_mm) / step_mm, 1e-12);
            if (i > 0) CHECK(near[i - 1].off_steps <= near[i].off_steps);
        }
        CHECK(stands);
    }
    const Adjuster shim = stack_of({1.0});
    const auto packs = stack_choices({1.0}, {0.2, 0.5}, std::nullopt);
    const auto near = settings_near(shim, 0.2, packs, 0.18, 1);
    CHECK(near.size() == packs.size());
    CHECK_NEAR(near.front().amount_mm, 0.2, 1e-12);
    for (const NearSetting& one : near) {
        const bool made = std::any_of(packs.begin(), packs.end(), [&](const StackChoice& pack) {
            return std::fabs(pack.total_mm - 1.0 - one.amount_mm) < 1e-12;
        });
        CHECK(made);
    }
}

TEST_CASE("turns lock at whole parts, and between two the nearest on either side are given") {
    Thread thread;
    CHECK_FALSE(locks_beside(thread, 0.123));  // locks anywhere
    thread.lock_turns = 0.25;
    CHECK_FALSE(locks_beside(thread, 0.0));
    CHECK_FALSE(locks_beside(thread, -0.75));
    CHECK_FALSE(locks_beside(thread, std::numeric_limits<double>::infinity()));
    CHECK(locks_beside(thread, 0.3).value() == std::pair(0.25, 0.5));
    CHECK(locks_beside(thread, -0.1).value() == std::pair(-0.25, 0.0));
}

TEST_CASE("a hand misses a thread once, and a stack by each shim that moves") {
    Morning m = wren_morning();
    Thread& thread = m.thread(CornerId::front_left, "track rod");
    thread.settable_turns = 0.02;
    const Adjuster& rod = m.adjuster(CornerId::front_left, "track rod");
    CHECK_NEAR(std::sqrt(setting_variance_mm2(rod, 1)), 0.02 * thread.lead_mm(), 1e-15);
    CHECK(setting_variance_mm2(rod, 0) == 0.0);
    const Adjuster shim = stack_of({1.0});
    CHECK_NEAR(setting_variance_mm2(shim, 4), 4e-4, 1e-15);
    CHECK(setting_variance_mm2(shim, 0) == 0.0);
}

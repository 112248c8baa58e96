#include "model/adjuster_file.hpp"

#include <cmath>

#include "files/shown.hpp"
#include "model/step_words.hpp"
#include "shimwise/files/did_you_mean.hpp"

namespace shimwise {
namespace {

using files::Table;
using files::Wanted;

std::optional<double> read_step(Table& table, const std::string& key, bool may_be_anywhere, Wanted wanted) {
    std::string word;
    const std::string needs = std::string("needs ") + (may_be_anywhere ? "anywhere, " : "") +
                              "quarter_flat, half_flat, flat, quarter_turn, half_turn, turn or 1/n turn";
    if (!table.has(key) && wanted == Wanted::required && table.given()) table.problem(key, "is missing: " + needs);
    if (!table.read(key, word)) return std::nullopt;
    if (may_be_anywhere && word == "anywhere") return 0.0;
    const auto turns = step_turns(word);
    if (turns) return turns;
    std::vector<std::string> words = step_words();
    if (may_be_anywhere) words.insert(words.begin(), "anywhere");
    const std::string near = nearest_name(word, words);
    table.problem(key, needs + (near.empty() ? "" : "; did you mean \"" + near + "\"?"));
    return std::nullopt;
}

void read_pitch(Table& table, const std::string& designation_key, const std::string& pitch_key, double& pitch_mm,
                std::string& designation) {
    table.not_both(designation_key, pitch_key);
    table.read(pitch_key, pitch_mm);
    if (!table.read(designation_key, designation)) return;
    const auto pitch = thread_pitch_mm(designation);
    if (pitch)
        pitch_mm = *pitch;
    else
        table.problem(designation_key, "is no thread such as \"M8x1.25\", \"M8\" or \"3/8-24\"");
}

void read_engagement(Table& table, Thread& thread) {
    std::vector<double> engaged;
    if (table.has("engaged_mm") != table.has("least_engaged_mm"))
        table.problem("engaged_mm", "engaged_mm and least_engaged_mm are given together or not at all");
    table.read("least_engaged_mm", thread.least_engaged_mm);
    if (!table.read_one_or_more("engaged_mm", engaged)) return;
    if (engaged.size() > 2)
        table.problem("engaged_mm", "needs one number for each end, or two (outer, inner)");
    else if (engaged.size() == 2 && thread.ends == Ends::one)
        table.problem("engaged_mm", "has 2 numbers, but one end has one engagement");
    else
        thread.engaged_mm = {engaged.front(), engaged.back()};
}

Thread read_thread(Table& table, bool platform) {
    Thread thread;
    if (!table.has("thread") && !table.has("pitch_mm"))
        table.problem("thread", "is missing: needs a thread such as \"M8x1.25\" or \"3/8-24\", or pitch_mm");
    read_pitch(table, "thread", "pitch_mm", thread.pitch_mm, thread.designation);
    table.choice("ends", ends_names, thread.ends, platform ? Wanted::optional : Wanted::required);
    std::string second_designation;
    const bool second = table.has("second_thread") || table.has("second_pitch_mm");
    read_pitch(table, "second_thread", "second_pitch_mm", thread.second_pitch_mm, second_designation);
    if (second && thread.ends != Ends::same_hand)
        table.problem(table.has("second_thread") ? "second_thread" : "second_pitch_mm",
                      "is only for ends = \"same_hand\"");
    if (!second && thread.ends == Ends::same_hand)
        table.problem("second_thread", "is missing: two ends of the same hand need the second one's thread");
    RodEnd left_hand = RodEnd::outer;
    if (table.choice("left_hand", rod_end_names, left_hand)) thread.left_hand = left_hand;
    if (thread.left_hand && thread.ends != Ends::left_and_right)
        table.problem("left_hand", "is only for ends = \"left_and_right\"");
    if (platform && thread.ends != Ends::one) table.problem("ends", "a spring platform has one thread: \"one\"");

    const auto lock = read_step(table, "locks", true, Wanted::required);
    const auto counted = read_step(table, "counted_in", false, Wanted::optional);
    thread.lock_turns = lock.value_or(0.0);
    if (lock && *lock > 0.0 && table.has("counted_in"))
        table.problem("counted_in", "is only for locks = \"anywhere\": here a step is what it locks at");
    constexpr double quarter_flat = 1.0 / 24.0;
    thread.step_turns = thread.lock_turns > 0.0 ? thread.lock_turns : counted.value_or(quarter_flat);

    table.read("now_turns", thread.now_turns);
    table.read("settable_turns", thread.settable_turns);
    table.not_both("limits_turns", "length_limits_mm");
    table.read("limits_turns", thread.limits_turns);
    table.read("length_limits_mm", thread.length_limits_mm);
    if (platform && table.has("length_limits_mm"))
        table.problem("length_limits_mm", "a spring platform has no length eye to eye: give limits_turns");
    read_engagement(table, thread);
    if (platform && table.has("engaged_mm"))
        table.problem("engaged_mm", "thread engagement does not apply to a spring platform");
    return thread;
}

Stack read_stack(Table& table, const std::vector<std::string>& boxes) {
    Stack stack;
    table.read("drawn_with_mm", stack.drawn_with_mm, Wanted::required);
    table.read("fitted_mm", stack.fitted_mm, Wanted::required);
    table.not_both("box", "box_mm");
    if (!table.has("box") && !table.has("box_mm"))
        table.problem("box", "is missing: needs the name of a box under [shims], or box_mm");
    table.read("box_mm", stack.box_mm);
    if (table.read("box", stack.box)) {
        bool known = false;
        for (const std::string& box : boxes) known = known || box == stack.box;
        if (!known) {
            table.problem("box", "is no box under [shims]" + did_you_mean(stack.box, boxes));
            stack.box.clear();
        }
    }
    table.read("limits_mm", stack.limits_mm);
    table.read("thickness_uncertainty_mm", stack.thickness_uncertainty_mm);
    double now_mm = 0.0;
    if (table.read("now_mm", now_mm) && !(std::abs(now_mm - stack.total_mm()) <= 1e-9))
        table.problem("now_mm", "is a stack that the fitted shims do not make: they add up to " +
                                    files::shown(stack.total_mm()) + " mm");
    return stack;
}

const char* body_words(Body body) {
    switch (body) {
        case Body::chassis:
            return "the chassis";
        case Body::rack:
            return "the rack";
        case Body::lower_wishbone:
            return "the lower wishbone";
        case Body::upper_wishbone:
            return "the upper wishbone";
        case Body::upright:
            return "the upright";
        case Body::rocker:
            return "the rocker";
    }
    return "nothing";
}

void read_length_change(Table& table, const Corner& corner, Adjuster& adjuster) {
    Length length{};
    if (!table.choice("changes", length_names, length)) return;
    if (has_length(corner, length))
        adjuster.changes.push_back({length, {1.0, 0.0, 0.0}});
    else
        table.problem("changes", "this corner has no such part");
}

void read_point_changes(Table& table, const Corner& corner, Adjuster& adjuster) {
    std::vector<std::string> names;
    Vec3<double> direction;
    Body on = Body::upright;
    constexpr std::array<std::string_view, 2> on_names = {"chassis", "upright"};
    std::size_t on_index = 1;
    const bool list = table.read("moves", names);
    table.read_direction("direction", direction, Wanted::required);
    if (table.choice("on", on_names, on_index, Wanted::required)) on = on_index == 0 ? Body::chassis : Body::upright;
    if (list && names.empty()) table.problem("moves", "needs the name of at least one point");
    for (std::size_t i = 0; i < names.size(); ++i) {
        const auto point = named<Point>(point_names, names[i]);
        if (!point) {
            table.problem("moves", "\"" + names[i] + "\" is no point" +
                                       did_you_mean(names[i], {point_names.begin(), point_names.end()}));
            continue;
        }
        if (!corner.has(*point)) {
            table.problem("moves", names[i] + " is not given for this corner");
            continue;
        }
        bool again = false;
        for (std::size_t k = 0; k < i; ++k) again = again || names[k] == names[i];
        if (again) table.problem("moves", names[i] + " is named twice");
        // The rack is bolted to the chassis: a shim under it moves its joints with the chassis' directions.
        const Body carrier = corner.carrier(*point);
        const bool fits = carrier == on || (carrier == Body::rack && on == Body::chassis);
        if (!fits) table.problem("moves", names[i] + " sits on " + body_words(carrier) + ", not on " + body_words(on));
        adjuster.changes.push_back({*point, direction});
    }
    if (Stack* stack = std::get_if<Stack>(&adjuster.setting)) stack->on = on;
}

void demand_name(Table& table, const std::string& name) {
    if (name.empty()) table.problem("name", "is empty");
    if (name.find('.') != std::string::npos || name.find('=') != std::string::npos)
        table.problem("name", "must have no dot and no '=' (settings are written corner.name=turns)");
}

}  // namespace

bool has_length(const Corner& corner, Length length) {
    switch (length) {
        case Length::pushrod:
            return corner.has(Point::pushrod_inner);
        case Length::drop_link:
            return corner.has(Point::rocker_drop_link) || corner.has(Point::drop_link_outer);
        default:
            return true;
    }
}

Adjuster read_adjuster(Table table, const Corner& corner, const std::vector<std::string>& boxes) {
    Adjuster adjuster;
    if (table.read("name", adjuster.name, Wanted::required)) demand_name(table, adjuster.name);
    table.choice("purpose", purpose_names, adjuster.purpose, Wanted::required);
    table.read("minutes", adjuster.minutes, Wanted::required);
    table.not_both("changes", "moves");
    if (!table.has("changes") && !table.has("moves"))
        table.problem("changes", "is missing: needs changes (a length) or moves (a list of points)");

    const bool thread = table.has("thread") || table.has("pitch_mm") || table.has("locks") || table.has("ends");
    if (thread && table.has("drawn_with_mm")) {
        table.problem("drawn_with_mm", "is given beside a thread: an adjuster is a thread or a stack of shims");
        read_stack(table, boxes);
    }
    const files::Value* changes = table.find("changes");
    const bool platform = changes && changes->text == length_names[index(Length::spring_platform)];
    if (thread)
        adjuster.setting = read_thread(table, platform);
    else
        adjuster.setting = read_stack(table, boxes);
    read_length_change(table, corner, adjuster);
    if (table.has("moves")) read_point_changes(table, corner, adjuster);
    table.close();
    return adjuster;
}

}  // namespace shimwise

#include "model/right_side.hpp"

#include <algorithm>
#include <string_view>
#include <utility>
#include <vector>

namespace shimwise {
namespace {

using files::Value;
using Ways = std::vector<std::vector<std::string_view>>;

const Ways spring_ways = {{"load_at_drawn_N"}, {"free_length_mm", "seat_gap_mm"}, {"rests_as_drawn"}};
const std::vector<Ways> adjuster_ways = {{{"thread"}, {"pitch_mm"}},
                                         {{"second_thread"}, {"second_pitch_mm"}},
                                         {{"box"}, {"box_mm"}},
                                         {{"limits_turns"}, {"length_limits_mm"}},
                                         {{"changes"}, {"moves", "on", "direction"}}};

/// A key of the right side that says anything but this word leaves the left side's keys behind without a meaning.
struct OnlyFor {
    std::string_view key, word;
    std::vector<std::string_view> left_behind;
};
const std::vector<OnlyFor> adjuster_only_for = {{"locks", "anywhere", {"counted_in"}},
                                                {"ends", "same_hand", {"second_thread", "second_pitch_mm"}},
                                                {"ends", "left_and_right", {"left_hand"}}};

bool has_any(const Value& table, const std::vector<std::string_view>& keys) {
    return std::any_of(keys.begin(), keys.end(), [&](std::string_view key) { return table.find(key) != nullptr; });
}

void remove(Value& table, const std::vector<std::string_view>& keys) {
    std::erase_if(table.items, [&](const Value& item) { return std::ranges::find(keys, item.key) != keys.end(); });
}

void remove_other_ways(Value& base, const Value& over, const Ways& ways) {
    for (const auto& way : ways) {
        if (!has_any(over, way)) continue;
        for (const auto& other : ways)
            if (&other != &way) remove(base, other);
    }
}

Value* entry(Value& table, std::string_view key) {
    for (Value& item : table.items)
        if (item.key == key) return &item;
    return nullptr;
}

std::string_view name_of(const Value& adjuster) {
    const Value* name = adjuster.find("name");
    return name && name->kind == Value::Kind::string ? std::string_view(name->text) : std::string_view();
}

Value right_adjusters(const Value& left, const Value& right) {
    Value result = files::mirrored(left);
    for (const Value& over : right.items) {
        Value* own = nullptr;
        for (Value& candidate : result.items)
            if (!name_of(over).empty() && name_of(candidate) == name_of(over)) own = &candidate;
        if (!own) {
            result.items.push_back(over);
            continue;
        }
        for (const Ways& ways : adjuster_ways) remove_other_ways(*own, over, ways);
        for (const OnlyFor& only : adjuster_only_for)
            if (const Value* said = over.find(only.key); said && said->text != only.word)
                remove(*own, only.left_behind);
        files::lay_over(*own, over);
    }
    return result;
}

}  // namespace

files::Value right_corner(const Value& left, const Value* right) {
    if (!right) return files::mirrored(left);
    Value base = left;
    Value over = *right;
    Value* left_spring = entry(base, "spring");
    const Value* right_spring = over.find("spring");
    if (left_spring && right_spring) remove_other_ways(*left_spring, *right_spring, spring_ways);

    const Value* left_adjusters = left.find("adjuster");
    Value* right_adjuster = entry(over, "adjuster");
    if (left_adjusters && right_adjuster) {
        Value merged = right_adjusters(*left_adjusters, *right_adjuster);
        merged.key = right_adjuster->key;
        merged.place = right_adjuster->place;
        *right_adjuster = std::move(merged);
    }
    Value result = files::mirrored(std::move(base));
    files::lay_over(result, over);
    return result;
}

}  // namespace shimwise

#include "shimwise/workshop/words.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>

#include "shimwise/units.hpp"
#include "workshop/turn_units.hpp"

namespace shimwise {
namespace {

constexpr double whole_within = 1e-6;

bool whole(double value) { return std::fabs(value - std::round(value)) <= whole_within; }

/// One to three decimals.
std::string plain(double value) {
    for (int decimals = 1; decimals < 3; ++decimals)
        if (whole(value * std::pow(10.0, decimals))) return fixed_words(value, decimals);
    return fixed_words(value, 3);
}

std::string counted(const std::string& number, const TurnUnit& unit, bool plural) {
    return number + " " + std::string(unit.name) + (plural ? "s" : "");
}

/// "1", "3/4", "1 3/4"
std::string mixed(long wholes, const std::string& part) {
    if (wholes == 0) return part;
    return std::to_string(wholes) + (part.empty() ? "" : " " + part);
}

/// "0.25 turn", "2 turns"
std::string turn_count(double turns) {
    const std::string number = whole(turns) ? fixed_words(turns, 0) : plain(turns);
    return counted(number, turn_unit::turn, turns > 1.0 + whole_within);
}

/// "1 1/2 flats", "3/4 flat", "2 flats"
std::string flat_count(double flats) {
    const auto quarters = std::lround(flats * 4.0);
    const char* const parts[] = {"", "1/4", "1/2", "3/4"};
    return counted(mixed(quarters / 4, parts[quarters % 4]), turn_unit::flat, quarters > 4);
}

/// "1/12 turn", "1 turn", "2 3/12 turns": in the parts that a hand counts.
std::string part_count(long counts, long parts) {
    const std::string rest = counts % parts == 0 ? "" : std::to_string(counts % parts) + "/" + std::to_string(parts);
    return counted(mixed(counts / parts, rest), turn_unit::turn, counts > parts);
}

bool counted_in_flats(const Thread& thread, double turns) {
    const bool flats = thread.lock_turns == 0.0 || std::fabs(thread.lock_turns * flats_per_turn - 1.0) <= whole_within;
    return flats && whole(turns * flats_per_turn * 4.0);
}

std::string listed(const std::vector<double>& shims_mm) {
    std::vector<std::string> words;
    for (const double mm : shims_mm) words.push_back(mm_words(mm));
    return listed_words(words);
}

}  // namespace

std::string listed_words(const std::vector<std::string>& words) {
    std::string all;
    for (std::size_t i = 0; i < words.size(); ++i)
        all += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
    return all;
}

std::string fixed_words(double value, int decimals) {
    char text[64];
    std::snprintf(text, sizeof text, "%.*f", decimals, value);
    const std::string words = text;
    const bool zero = words.find_first_not_of("-0.") == std::string::npos;
    return zero && words.front() == '-' ? words.substr(1) : words;
}

std::string signed_words(double value, int decimals) {
    const std::string words = fixed_words(value, decimals);
    return words.front() == '-' || words.find_first_not_of("0.") == std::string::npos ? words : "+" + words;
}

std::string flags_words(double difference_mm) {
    constexpr double equal_within_mm = 0.05;  // what one decimal can show
    if (std::fabs(difference_mm) < equal_within_mm) return "equal";
    return fixed_words(std::fabs(difference_mm), 1) + " mm more at the " + (difference_mm > 0.0 ? "front" : "rear");
}

std::string mm_words(double mm) { return plain(mm) + " mm"; }

std::string pack_words(std::vector<double> shims_mm) {
    if (shims_mm.empty()) return "no shim";
    std::sort(shims_mm.begin(), shims_mm.end(), std::greater<>());
    std::string words;
    for (const double mm : shims_mm) words += (words.empty() ? "" : " + ") + plain(mm);
    return words + " mm";
}

std::string count_words(const Thread& thread, double turns) {
    const double size = std::fabs(turns);
    if (counted_in_flats(thread, size)) return flat_count(size * flats_per_turn);
    if (thread.lock_turns == 0.5 && whole(size * 2.0)) {
        const long halves = std::lround(size * 2.0);
        return counted(std::to_string(halves), turn_unit::half_turn, halves != 1);
    }
    const double parts = thread.lock_turns > 0.0 ? 1.0 / thread.lock_turns : 0.0;
    if (parts > 1.5 && whole(parts) && whole(size * parts))
        return part_count(std::lround(size * parts), std::lround(parts));
    return turn_count(size);
}

std::string turns_words(const Adjuster& adjuster, double turns) {
    const Ways ways = thread_ways(adjuster);
    const std::string count = count_words(*adjuster.thread(), turns);
    const std::string words = count + " " + std::string(turns > 0.0 ? ways.up : ways.down);
    const std::string in_turns = turn_count(std::fabs(turns));
    const bool part_of_a_turn = count.starts_with("1/") && count.ends_with(turn_unit::turn.name);
    return count == in_turns || part_of_a_turn ? words : words + " (" + in_turns + ")";
}

std::string way_round_words(const Thread& thread, double turns) {
    if (!thread.left_hand) return "";
    // A right-hand thread goes in, away from who looks at its head, as it is turned clockwise: a rod whose outer thread
    // is right-handed comes out of its outer end as it is turned clockwise by who looks at that end.
    const bool clockwise = (*thread.left_hand == RodEnd::inner) == (turns > 0.0);
    return std::string(clockwise ? "clockwise" : "counter-clockwise") + ", seen from its outer end";
}

std::string spaced_words(std::string_view name) {
    std::string words(name);
    std::replace(words.begin(), words.end(), '_', ' ');
    return words;
}

std::string thickness_words(double change_mm, std::optional<double> total_mm) {
    const std::string_view way = change_mm < 0.0 ? pack_ways.down : pack_ways.up;
    const std::string words = mm_words(std::fabs(change_mm)) + " " + std::string(way);
    return total_mm ? words + " (" + mm_words(*total_mm) + " in all)" : words;
}

std::string shims_words(const StackChoice& choice) {
    std::string words;
    if (!choice.remove_mm.empty())
        words = "remove the " + listed(choice.remove_mm) + (choice.remove_mm.size() == 1 ? " shim" : " shims");
    if (!choice.add_mm.empty()) words += (words.empty() ? "add " : ", add ") + listed(choice.add_mm);
    return words + ": pack " + pack_words(choice.shims_mm);
}

}  // namespace shimwise

// The first page of a card.
#include <algorithm>

#include "shimwise/workshop/words.hpp"
#include "workshop/card_lines.hpp"

namespace shimwise {
namespace {

/// "2026-05-02 08:10 UTC" of an ISO date and time; anything else as it is.
std::string time_words(const std::string& at) {
    constexpr std::size_t date = 10, minute = 16;
    if (at.size() <= minute || at[date] != 'T') return at;
    return at.substr(0, date) + " " + at.substr(date + 1, minute - date - 1) + (at.ends_with('Z') ? " UTC" : "");
}

/// "track rod: 1 1/2 flats longer", "camber shim: remove the 1.0 mm shim, add 0.5 mm": without turns and pack.
std::string shortly(const CardLine& line) {
    std::string words = line.text;
    if (words.starts_with(line.corner)) words.erase(0, std::min(words.size(), line.corner.size() + 1));
    for (const char* tail : {" (", ": pack "})
        if (const auto at = words.rfind(tail); at != std::string::npos) words.erase(at);
    return words;
}

/// The first so many of a list, and how many are left out.
std::string counted(const std::vector<std::string>& items, std::size_t most, const std::string& between,
                    const std::string& rest) {
    std::string words;
    for (std::size_t i = 0; i < std::min(most, items.size()); ++i) words += (i == 0 ? "" : between) + items[i];
    if (items.size() <= most) return words;
    return words + (most == 0 ? "" : between) + std::to_string(items.size() - most) + rest;
}

/// As many of a list as fit into so many lines after `head`.
std::vector<std::string> fitted(const std::string& head, const std::vector<std::string>& items, std::size_t lines) {
    std::vector<std::string> words;
    for (std::size_t most = items.size();; --most) {
        words = wrapped("", head + counted(items, most, ", ", " more") + ".", 4);
        if (words.size() <= lines || most == 0) return words;
    }
}

std::vector<CardReading> at_the_end(const Card& card) {
    std::vector<CardReading> last;
    for (const CardStep& step : card.steps)
        for (const CardLine& line : step.lines)
            if (line.key.empty() && !line.expect.empty()) last = line.expect;
    return last;
}

std::vector<std::string> outside(const Card& card) {
    std::vector<std::string> names;
    for (const CardValue& value : card.values)
        if (value.within == false) names.push_back(value_words(value.key));
    return names;
}

/// What is turned at a corner and what is read there then.
std::vector<std::string> corner_lines(const Card& card, std::size_t c, const std::vector<CardReading>& then,
                                      std::size_t most) {
    std::vector<std::string> turned, read;
    for (const CardStep& step : card.steps)
        for (const CardLine& line : step.lines)
            if (!line.key.empty() && line.corner == corner_names[c]) turned.push_back(shortly(line));
    for (const CardReading& one : then)
        if (one.at == corner_names[c] && (one.of == ReadingOf::flags || one.of == ReadingOf::gauge))
            read.push_back(std::string(reading_of_names[index(one.of)]) + " " + shown_words(one));
    if (turned.empty() && (read.empty() || !card.touches)) {
        if (read.empty()) return {};
        return wrapped(std::string(corner_short_names[c]) + "  ", counted(read, read.size(), ", ", "") + ".");
    }
    std::string words =
        turned.empty() ? "nothing to turn" : counted(turned, most, "; ", most == 0 ? " to turn" : " more in the steps");
    if (!read.empty()) words += ". Then " + counted(read, read.size(), ", ", "");
    return wrapped(std::string(corner_short_names[c]) + "  ", words + ".");
}

std::vector<std::string> standing_lines(const std::vector<CardReading>& then, ReadingOf of, const std::string& head,
                                        const std::string& unit) {
    std::vector<std::string> items;
    for (const CardReading& one : of_kind(then, of)) items.push_back(short_name(one.at) + " " + shown_words(one));
    if (items.empty()) return {};
    items.back() += " " + unit;
    return fitted(head, items, 2);
}

/// `most`: adjusters that are told of a corner. `airy`: with lines left empty.
std::vector<std::string> page(const Card& card, std::size_t most, bool airy) {
    const std::vector<CardReading> then = at_the_end(card);
    std::vector<std::string> lines;
    const auto gap = [&] {
        if (airy) lines.emplace_back();
    };
    std::string where = card.place;
    if (!card.at.empty()) where += (where.empty() ? "" : ", ") + time_words(card.at);
    std::vector<std::string> head = wrapped("CARD  ", card.car + (where.empty() ? "" : ": " + where));
    lines.push_back(head.front());
    append(lines, fitted("", {card.title.substr(0, card.title.empty() ? 0 : card.title.size() - 1)}, 2));
    if (const auto names = outside(card); !names.empty()) append(lines, fitted("Outside then: ", names, 2));
    std::string why;
    if (card.chance) why = "Chance to pass when read again: " + fixed_words(*card.chance, 2) + ". ";
    append(lines, wrapped("", why + card.why));
    if (!card.doubts.empty()) {
        std::vector<std::string> places;
        for (const Doubt& doubt : card.doubts)
            if (!doubt.at.empty() && std::ranges::find(places, doubt.at) == places.end()) places.push_back(doubt.at);
        append(lines,
               fitted("Doubtful (" + std::to_string(card.doubts.size()) + "), look again first at: ", places, 2));
    }
    gap();
    for (std::size_t c = 0; c < corner_count; ++c) append(lines, corner_lines(card, c, then, most));
    const std::string tense = card.touches ? " then: " : ": ";
    append(lines, standing_lines(then, ReadingOf::height, "Heights" + tense, "mm"));
    append(lines, standing_lines(then, ReadingOf::scale, "Scales" + tense, "kg"));
    if (!card.moves.empty()) append(lines, fitted("Moves too: ", card.moves, 2));
    gap();
    for (const std::string& caution : cautions_in_short()) append(lines, wrapped("! ", caution));
    return lines;
}

}  // namespace

std::vector<std::string> first_page(const Card& card) {
    std::size_t most = 0;
    for (const CardStep& step : card.steps) most += step.lines.size();
    std::vector<std::string> lines = page(card, most, true);
    if (lines.size() > first_page_lines) lines = page(card, most, false);
    while (lines.size() > first_page_lines && most > 0) lines = page(card, --most, false);
    return lines;
}

}  // namespace shimwise

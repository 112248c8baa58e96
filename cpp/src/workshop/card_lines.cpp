#include "workshop/card_lines.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

bool continues(char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U; }

bool is_number(const std::string& word) { return word.find_first_not_of("0123456789./") == std::string::npos; }

std::vector<std::string> words_of(const std::string& text) {
    std::vector<std::string> words(1);
    for (const char c : text)
        if (c == ' ' || (c >= '\t' && c <= '\r'))
            words.emplace_back();
        else
            words.back() += c;
    std::erase(words, "");
    for (std::size_t i = words.size(); i-- > 1;)
        if (is_number(words[i - 1])) {
            words[i - 1] += " " + words[i];
            words.erase(words.begin() + static_cast<std::ptrdiff_t>(i));
        }
    return words;
}

/// The first `count` letters of a word, taken from it.
std::string cut(std::string& word, std::size_t count) {
    std::size_t bytes = 0;
    while (bytes < word.size() && (count > 0 || continues(word[bytes]))) {
        if (!continues(word[bytes])) --count;
        ++bytes;
    }
    while (bytes < word.size() && continues(word[bytes])) ++bytes;
    const std::string head = word.substr(0, bytes);
    word.erase(0, bytes);
    return head;
}

int decimals_of(ReadingOf of) { return of == ReadingOf::gauge ? 2 : 1; }

std::string window_words(const CardReading& reading) {
    const int decimals = decimals_of(reading.of);
    const double parts = std::pow(10.0, decimals);
    constexpr double rounding = 1e-9;
    return "+-" + fixed_words(std::ceil(reading.window * parts - rounding) / parts, decimals);
}

}  // namespace

std::size_t letters(const std::string& text) {
    return static_cast<std::size_t>(std::ranges::count_if(text, [](char byte) { return !continues(byte); }));
}

std::vector<std::string> wrapped(const std::string& head, const std::string& text, std::optional<std::size_t> under) {
    const std::string indent(under.value_or(letters(head)), ' ');
    std::vector<std::string> lines = {head};
    bool empty = true;  // nothing stands behind the head or the indent
    for (std::string word : words_of(text)) {
        const auto fits = [&](const std::string& one) {
            return letters(lines.back()) + (empty ? 0 : 1) + letters(one) <= card_columns;
        };
        if (!fits(word) && !empty) {
            lines.push_back(indent);
            empty = true;
        }
        while (!fits(word)) {
            lines.back() += cut(word, card_columns - indent.size());
            lines.push_back(indent);
        }
        lines.back() += (empty ? "" : " ") + word;
        empty = false;
    }
    return lines;
}

std::vector<std::string> in_rows(const std::string& head, const std::vector<std::string>& items, std::size_t a_row) {
    const std::string indent(letters(head), ' ');
    std::vector<std::string> lines = {head};
    std::size_t in_row = 0;
    for (const std::string& item : items) {
        const std::size_t room = card_columns - std::min(card_columns, letters(lines.back()));
        if (in_row > 0 && (in_row == a_row || letters(item) + 2 > room)) {
            lines.push_back(indent);
            in_row = 0;
        }
        if (in_row == 0 && letters(lines.back()) + letters(item) > card_columns) {
            std::vector<std::string> more = wrapped(lines.back(), item);
            lines.pop_back();
            append(lines, more);
            in_row = a_row;
            continue;
        }
        lines.back() += (in_row > 0 ? "  " : "") + item;
        ++in_row;
    }
    return lines;
}

void append(std::vector<std::string>& lines, const std::vector<std::string>& more) {
    lines.insert(lines.end(), more.begin(), more.end());
}

std::string short_name(const std::string& name) {
    const auto corner = named<CornerId>(corner_names, name);
    return corner ? std::string(corner_short_names[index(*corner)]) : name;
}

std::string value_words(const std::string& key) {
    std::string words = spaced_words(key);
    std::replace(words.begin(), words.end(), '.', ' ');
    return words;
}

std::string shown_words(const CardReading& reading) {
    if (reading.of == ReadingOf::flags) return flags_words(reading.expect);
    const std::string number = fixed_words(reading.expect, decimals_of(reading.of));
    return reading.of == ReadingOf::gauge ? number + " deg" : number;
}

std::string reading_item(const CardReading& reading) {
    const bool at_wheel = reading.of == ReadingOf::flags || reading.of == ReadingOf::gauge;
    const std::string name = at_wheel ? std::string(reading_of_names[index(reading.of)]) : short_name(reading.at);
    return name + " " + shown_words(reading) + " " + window_words(reading) + " ______";
}

std::vector<CardReading> of_kind(const std::vector<CardReading>& readings, ReadingOf of) {
    std::vector<CardReading> found;
    std::ranges::copy_if(readings, std::back_inserter(found), [of](const CardReading& one) { return one.of == of; });
    return found;
}

}  // namespace shimwise

// The steps of a card, and what stands behind them.
#include "shimwise/workshop/card_text.hpp"

#include <algorithm>

#include "shimwise/workshop/words.hpp"
#include "workshop/card_lines.hpp"

namespace shimwise {
namespace {

const std::string under = "      ";  // what belongs to a line stands under its words

constexpr const char* window_rule =
    "+- is the window to go on in: two standard deviations of both readings, of what a hand misses and of the model. "
    "One reading in twenty lies outside by chance.";
constexpr const char* outside_rule =
    "Outside it stop, do not go on: check count and shims, settle the car, read again. Still outside: "
    "`shimwise done .. --through` the last step that was done, and plan again from new readings.";

std::string length_words(const std::pair<double, double>& length_mm) {
    return "eye to eye " + fixed_words(length_mm.first, 2) + ", then " + fixed_words(length_mm.second, 2) + " mm";
}

/// Flags and gauge of a wheel in a line, heights and scales two in a line.
std::vector<std::string> readings(const CardLine& line) {
    std::vector<std::string> lines;
    const bool one_wheel = !line.key.empty();
    for (const std::string_view corner : corner_names) {
        std::vector<std::string> items;
        for (const CardReading& one : line.expect)
            if (one.at == corner && (one.of == ReadingOf::flags || one.of == ReadingOf::gauge))
                items.push_back(reading_item(one));
        if (items.empty()) continue;
        const std::string head = one_wheel ? under : "  " + short_name(std::string(corner)) + "  ";
        append(lines, in_rows(head, items, 2));
    }
    for (const auto& [of, head] :
         {std::pair(ReadingOf::height, "heights mm  "), std::pair(ReadingOf::scale, "scales kg  ")}) {
        std::vector<std::string> items;
        for (const CardReading& one : of_kind(line.expect, of)) items.push_back(reading_item(one));
        if (!items.empty()) append(lines, in_rows(under + head, items, 2));
    }
    return lines;
}

std::vector<std::string> card_line(const CardLine& line, bool box) {
    std::vector<std::string> lines;
    if (line.ticks.empty()) {
        lines = wrapped(box ? "  [ ] " : "  - ", line.text);
    } else {
        std::vector<std::string> boxes;
        for (const std::string& tick : line.ticks) boxes.push_back("[ ] " + tick);
        lines = in_rows(line.text.empty() ? "  " : "  " + line.text + ":  ", boxes, boxes.size());
    }
    std::vector<std::string> about;
    if (!line.way_round.empty()) about.push_back(line.way_round);
    if (line.length_mm) about.push_back(length_words(*line.length_mm));
    if (!about.empty()) append(lines, in_rows(under, about, 2));
    append(lines, readings(line));
    return lines;
}

int decimals_of(const CardValue& value) { return value.unit == "deg" ? 3 : 2; }

std::vector<std::string> wanted_words(const CardValue& value) {
    const int decimals = decimals_of(value);
    std::vector<std::string> words;
    if (value.value)
        words.push_back(fixed_words(*value.value, decimals) + " within " +
                        fixed_words(value.tolerance.value_or(0.0), decimals) +
                        (value.tolerance_is_common_practice ? "*" : ""));
    if (value.least) words.push_back("at least " + fixed_words(*value.least, decimals));
    if (value.most) words.push_back("at most " + fixed_words(*value.most, decimals));
    return words;
}

std::string padded(const std::string& text, std::size_t width, bool right) {
    const std::string pad(width > letters(text) ? width - letters(text) : 0, ' ');
    return right ? pad + text : text + pad;
}

std::string row(const std::array<std::string, 7>& cells) {
    constexpr std::array<std::size_t, 7> widths = {23, 11, 6, 21, 8, 6, 4};
    std::string line;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        const bool words = i == 0 || i == 6;
        line += (i == 6 ? " " : "") + padded(cells[i], widths[i], !words);
    }
    while (line.ends_with(' ')) line.pop_back();
    return line;
}

std::string mark(const CardValue& value) {
    if (value.within) return *value.within ? "ok" : "OUT";
    return "";
}

std::vector<std::string> value_rows(const Card& card) {
    std::vector<std::string> lines = {row({"", "measured", "u", "wanted", "then", "+-", ""})};
    for (const CardValue& value : card.values) {
        const int decimals = decimals_of(value);
        const auto number = [&](const std::optional<double>& of) { return of ? fixed_words(*of, decimals) : ""; };
        const std::string unit = value.unit == "percent" ? "%" : value.unit;
        std::string name = value_words(value.key);
        if (value.unit == "mm" && value.key.ends_with(".toe")) name += ", flags";
        constexpr std::size_t beside = 23;
        if (letters(name) > beside) {
            append(lines, wrapped("", name));
            name.clear();
        }
        std::vector<std::string> wanted = wanted_words(value);
        wanted.resize(std::max<std::size_t>(wanted.size(), 1));
        lines.push_back(row({name, value.now ? number(value.now) + " " + unit : "not read",
                             value.now && !value.measured ? "model" : number(value.uncertainty), wanted[0],
                             number(value.then), number(value.window), mark(value)}));
        for (std::size_t i = 1; i < wanted.size(); ++i) lines.push_back(row({"", "", "", wanted[i], "", "", ""}));
    }
    if (std::ranges::any_of(card.values, &CardValue::tolerance_is_common_practice))
        lines.emplace_back("* no tolerance in the targets file: common practice, no source");
    return lines;
}

void bullets(std::vector<std::string>& lines, const std::string& title, const std::vector<std::string>& texts) {
    if (texts.empty()) return;
    lines.emplace_back();
    lines.push_back(title);
    for (const std::string& text : texts) append(lines, wrapped("  - ", text));
}

}  // namespace

std::vector<std::string> steps_page(const Card& card) {
    std::vector<std::string> lines = {"STEPS"};
    append(lines, wrapped("", window_rule));
    if (card.touches) append(lines, wrapped("", outside_rule));
    for (const CardStep& step : card.steps) {
        lines.emplace_back();
        append(lines, wrapped(std::to_string(step.number) + "  ", step.title));
        for (const CardLine& line : step.lines) append(lines, card_line(line, step.boxes));
    }
    return lines;
}

std::vector<std::string> last_page(const Card& card) {
    std::vector<std::string> lines = {"MEASURED AND WANTED"};
    if (!card.frame.empty()) append(lines, wrapped("", card.frame));
    append(lines, value_rows(card));
    bullets(lines, "Proof", card.proof.empty() ? std::vector<std::string>{} : std::vector{card.proof});
    std::vector<std::string> doubts;
    for (const Doubt& doubt : card.doubts) doubts.push_back(doubt.text);
    bullets(lines, "Doubts", doubts);
    bullets(lines, "Notes", card.notes);
    return lines;
}

}  // namespace shimwise

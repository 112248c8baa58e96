#include "shimwise/workshop/amounts.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numeric>

#include "files/shown.hpp"
#include "shimwise/error.hpp"
#include "shimwise/units.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/turn_units.hpp"

namespace shimwise {
namespace {

bool is_blank(char c) { return c == ' ' || (c >= '\t' && c <= '\r'); }
bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::string_view stripped(std::string_view text) {
    while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
    return text;
}

std::string lowered(std::string_view text) {
    std::string lower(stripped(text));
    for (char& c : lower)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return lower;
}

std::optional<double> value_of(std::string_view digits) {
    double value = 0.0;
    const auto [stop, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    return error == std::errc() ? std::optional(value) : std::nullopt;
}

struct SignedNumber {
    bool equals = false;  // "=" before it
    char sign = '\0';     // '+' or '-'; 0 where there is none
    double number = 0.0;
};

struct NumberWord {
    std::string_view words;
    double number = 0.0;
};
constexpr NumberWord number_words[] = {{"half a ", 0.5}, {"a quarter of a ", 0.25}, {"a ", 1.0}};

/// Takes words from the left; what does not fit stays.
class Reader {
public:
    explicit Reader(std::string_view text) : rest_(text) {}

    bool at_end() const { return rest_.empty(); }
    std::string_view rest() const { return rest_; }

    bool take(std::string_view word) {
        const bool there = rest_.starts_with(word);
        if (there) rest_.remove_prefix(word.size());
        return there;
    }

    bool take_blanks() { return !take_while(is_blank).empty(); }

    /// "1 1/2", "0.35", "half a": with the blanks behind it.
    std::optional<double> take_number() {
        auto number = take_mixed();
        if (!number) number = take_decimal();
        for (const NumberWord& word : number_words)
            if (!number && take(word.words)) number = word.number;
        take_blanks();
        return number;
    }

    /// "+ 1 1/2 ", "-3/4", "=0.35": with the blanks behind it.
    std::optional<SignedNumber> take_signed() {
        SignedNumber found;
        found.equals = take("=");
        take_blanks();
        found.sign = take("+") ? '+' : take("-") ? '-' : '\0';
        take_blanks();
        const auto number = take_number();
        found.number = number.value_or(0.0);
        return number ? std::optional(found) : std::nullopt;
    }

private:
    template <class Fits>
    std::string_view take_while(Fits fits) {
        const auto end = std::find_if_not(rest_.begin(), rest_.end(), fits);
        const std::string_view taken = rest_.substr(0, static_cast<std::size_t>(end - rest_.begin()));
        rest_.remove_prefix(taken.size());
        return taken;
    }

    /// "2", "0.35", ".5", "1e-3"
    std::optional<double> take_decimal() {
        Reader ahead = *this;
        const bool wholes = !ahead.take_while(is_digit).empty();
        const bool parts = ahead.take(".") && !ahead.take_while(is_digit).empty();
        if (!wholes && !parts) return std::nullopt;
        ahead.take_exponent();
        const std::string_view digits = rest_.substr(0, rest_.size() - ahead.rest_.size());
        *this = ahead;
        return value_of(digits);
    }

    void take_exponent() {
        Reader ahead = *this;
        if (!ahead.take("e")) return;
        if (!ahead.take("+")) ahead.take("-");
        if (!ahead.take_while(is_digit).empty()) *this = ahead;
    }

    std::optional<double> take_mixed() {
        Reader ahead = *this;
        std::optional<double> wholes = 0.0;
        std::string_view above = ahead.take_while(is_digit);
        if (ahead.take_blanks()) {
            wholes = value_of(above);
            above = ahead.take_while(is_digit);
        }
        if (!ahead.take("/")) return std::nullopt;
        const std::string_view below = ahead.take_while(is_digit);
        if (below.empty() || below.front() == '0') return std::nullopt;
        const auto n = value_of(above);
        const auto d = value_of(below);
        if (!wholes || !n || !d) return std::nullopt;
        *this = ahead;
        return (*wholes * *d + *n) / *d;
    }

    std::string_view rest_;
};

bool has_decimal_comma(const Words& words) {
    const auto* text = std::get_if<std::string>(&words.said);
    for (std::size_t i = 1; text && i + 1 < text->size(); ++i)
        if ((*text)[i] == ',' && is_digit((*text)[i - 1]) && is_digit((*text)[i + 1])) return true;
    return false;
}

[[noreturn]] void fail(const std::string& key, const Words& words, std::string rule) {
    if (has_decimal_comma(words)) rule = "has a decimal comma: write a point, such as 0.5";
    throw InputError({{"", 0, 0, key, words.shown, std::move(rule)}});
}

enum class Unit { turns, steps, mm };

/// A number with its unit, and its way: '+' or '-', by a sign or in words; 0 where nothing says one.
struct Counted {
    bool equals = false;
    char way = '\0';
    double number = 0.0;
    Unit unit = Unit::mm;
    double turns = 0.0;  // of a thread

    double sign() const { return way == '-' ? -1.0 : 1.0; }
};

bool take_turn_unit(Reader& reader, const Thread& thread, Counted& into) {
    if (reader.take("mm")) {
        into.turns = into.number / thread.lead_mm();
    } else if (reader.take("step")) {
        into.unit = Unit::steps;
        into.turns = into.number * thread.step_turns;
    } else {
        const auto unit = std::find_if(turn_unit::all.begin(), turn_unit::all.end(),
                                       [&](const TurnUnit& one) { return reader.take(one.name); });
        if (unit == turn_unit::all.end()) return false;
        into.unit = Unit::turns;
        into.turns = into.number * unit->turns;
    }
    reader.take("s");
    return true;
}

/// What stands behind number and unit: nothing, or a way where no sign says one already.
bool take_way(Reader& reader, const Ways& ways, char& way) {
    if (reader.at_end()) return true;
    if (way != '\0' || !reader.take_blanks()) return false;
    if (reader.rest() != ways.up && reader.rest() != ways.down) return false;
    way = reader.rest() == ways.up ? '+' : '-';
    return true;
}

std::optional<Counted> counted(const Words& words, const Adjuster& adjuster) {
    const auto* text = std::get_if<std::string>(&words.said);
    if (!text) return std::nullopt;
    const std::string lower = lowered(*text);
    Reader reader(lower);
    const auto found = reader.take_signed();
    if (!found) return std::nullopt;
    Counted all = {found->equals, found->sign, found->number};
    const Thread* thread = adjuster.thread();
    const bool unit = thread ? take_turn_unit(reader, *thread, all) : reader.take("mm") || reader.at_end();
    const Ways ways = thread ? thread_ways(adjuster) : pack_ways;
    return unit && take_way(reader, ways, all.way) ? std::optional(all) : std::nullopt;
}

/// "2.0 + 0.5 mm", "=2 mm", "no shim" or "0 mm", a list.
std::optional<std::vector<double>> pack(const Words& words) {
    if (const auto* shims_mm = std::get_if<std::vector<double>>(&words.said)) return *shims_mm;
    const auto* text = std::get_if<std::string>(&words.said);
    if (!text) return std::nullopt;
    const std::string lower = lowered(*text);
    std::string_view rest = stripped(std::string_view(lower).substr(lower.starts_with('=') ? 1 : 0));
    std::vector<double> shims_mm;
    if (rest == "no shim") return shims_mm;
    for (;;) {
        const std::size_t plus = rest.find('+');
        Reader reader(stripped(rest.substr(0, plus)));
        const auto mm = reader.take_number();
        if (!mm || !(reader.at_end() || reader.rest() == "mm")) return std::nullopt;
        if (plus == std::string_view::npos && shims_mm.empty() && *mm == 0.0) return shims_mm;
        shims_mm.push_back(*mm);
        if (plus == std::string_view::npos) return shims_mm;
        rest.remove_prefix(plus + 1);
    }
}

std::string listed(const std::vector<double>& numbers) {
    std::string words;
    for (const double number : numbers) words += (words.empty() ? "" : ", ") + files::shown(number);
    return "[" + words + "]";
}

/// "M8x1.25, left- and right-hand ends: 2.5 mm a turn"
std::string lead_words(const Thread& thread) {
    const std::string name = thread.designation.empty() ? "pitch " + mm_words(thread.pitch_mm) : thread.designation;
    const std::string ends = thread.ends == Ends::left_and_right ? ", left- and right-hand ends"
                             : thread.ends == Ends::same_hand    ? ", both ends of one hand"
                                                                 : "";
    return name + ends + ": " + mm_words(std::fabs(thread.lead_mm())) + " a turn";
}

/// "which is 0.8 turn (M8x1.25, ..); a hand counts 4 3/4 flats": what the unit leaves to be worked out.
std::string worked_out(const Adjuster& adjuster, Unit unit, double turns) {
    const Thread& thread = *adjuster.thread();
    if (unit == Unit::steps) return ", one step being " + count_words(thread, thread.step_turns);
    if (unit != Unit::mm) return "";
    std::string words = ", which is " + count_words(thread, turns) + " (" + lead_words(thread) + ")";
    const double steps = std::round(turns / thread.step_turns);
    if (thread.lock_turns == 0.0 && std::fabs(steps * thread.step_turns - turns) > 1e-6)
        words += "; the nearest a hand counts is " +
                 (steps == 0.0 ? "to leave it" : count_words(thread, steps * thread.step_turns));
    return words;
}

/// "2 mm longer" where mm were written, otherwise "2 flats longer (0.333 turn)".
std::string sized_words(const Adjuster& adjuster, Unit unit, double turns) {
    if (unit != Unit::mm) return turns_words(adjuster, turns);
    const Ways ways = thread_ways(adjuster);
    return mm_words(std::fabs(turns * adjuster.thread()->lead_mm())) + " " +
           std::string(turns > 0.0 ? ways.up : ways.down);
}

void tell_turns(Amount& amount, const Adjuster& adjuster, Unit unit) {
    const std::string in_turns = worked_out(adjuster, unit, amount.size);
    amount.plain = amount.from == From::now && unit == Unit::turns;
    if (amount.from == From::now) {
        amount.taken = amount.size == 0.0 ? "as it stands"
                                          : sized_words(adjuster, unit, amount.size) + " than it stands" + in_turns;
        return;
    }
    const double by = turns_from_now(amount, *adjuster.thread());
    const std::string set = amount.size == 0.0 ? "as drawn" : sized_words(adjuster, unit, amount.size) + " than drawn";
    const std::string change = std::fabs(by) < 1e-9 ? "as it stands" : turns_words(adjuster, by) + " than it stands";
    amount.taken = "the setting itself, " + set + in_turns + ": " + change;
}

double total_mm_of(const Amount& amount, const Stack& stack) {
    return amount.shims_mm ? std::accumulate(amount.shims_mm->begin(), amount.shims_mm->end(), 0.0)
                           : stack.total_mm() + amount.size;
}

void tell_pack(Amount& amount, const Stack& stack) {
    const double now_mm = stack.total_mm();
    const double total_mm = total_mm_of(amount, stack);
    if (amount.shims_mm) {
        const double by_mm = total_mm - now_mm;
        amount.taken = "the pack itself, " + mm_words(total_mm) + " in all: " +
                       (std::fabs(by_mm) < 1e-9 ? "as thick as it is" : thickness_words(by_mm) + " than it is");
    } else {
        amount.taken = thickness_words(amount.size) + " than it is, " + mm_words(total_mm) + " in all";
    }
}

std::string thread_rule(const Adjuster& adjuster) {
    return "needs a number with turns, half turns, flats, quarter flats, steps or mm, such as +2 flats (" +
           std::string(thread_ways(adjuster).up) + " than it stands) or =2 flats (from as drawn)";
}

constexpr const char* pack_rule = "needs a change such as +0.5 mm (thicker), or the shims fitted, such as 2.0 + 0.5 mm";

/// What would have been a change, where nothing said from where.
std::string otherwise(const Words& words) {
    const std::string& text = std::get<std::string>(words.said);
    return "; a change from how it stands is written +" + std::string(stripped(text)) + " or -" +
           std::string(stripped(text));
}

Amount thread_amount(const std::string& key, const Adjuster& adjuster, const Words& words, From numbers) {
    Amount amount;
    amount.from = numbers;
    if (const double* turns = std::get_if<double>(&words.said)) {
        amount.size = *turns;
        tell_turns(amount, adjuster, Unit::turns);
        return amount;
    }
    const auto found = counted(words, adjuster);
    if (!found) fail(key, words, thread_rule(adjuster));
    amount.from = found->equals || found->way == '\0' ? From::drawn : From::now;
    amount.from_said = found->equals || found->way != '\0';
    amount.size = found->sign() * found->turns;
    tell_turns(amount, adjuster, found->unit);
    if (!amount.from_said) amount.taken += otherwise(words);
    return amount;
}

Amount pack_amount(const std::string& key, const Adjuster& adjuster, const Words& words, From numbers) {
    Amount amount;
    const double* mm = std::get_if<double>(&words.said);
    if (mm && numbers == From::drawn) fail(key, words, pack_rule);
    const auto found = mm ? std::nullopt : counted(words, adjuster);
    if (mm || (found && !found->equals && found->way != '\0')) {
        amount.size = mm ? *mm : found->sign() * found->number;
        tell_pack(amount, *adjuster.stack());
        return amount;
    }
    amount.from = From::drawn;
    amount.shims_mm = pack(words);
    if (!amount.shims_mm) fail(key, words, pack_rule);
    for (const double shim_mm : *amount.shims_mm)
        if (const std::string fault = shim_fault(shim_mm); !fault.empty()) fail(key, words, fault);
    tell_pack(amount, *adjuster.stack());
    amount.from_said = !found || found->equals;
    amount.plain = amount.from_said;
    if (!amount.from_said) amount.taken += otherwise(words);
    return amount;
}

}  // namespace

Words::Words(Said what, std::string as_shown) : said(std::move(what)), shown(std::move(as_shown)) {}
Words::Words(double number) : said(number), shown(files::shown(number)) {}
Words::Words(std::vector<double> shims_mm) : said(shims_mm), shown(listed(shims_mm)) {}
Words::Words(std::string text) : said(text), shown("'" + text + "'") {}

Amount amount(const std::string& key, const Adjuster& adjuster, const Words& words, From numbers) {
    return adjuster.thread() ? thread_amount(key, adjuster, words, numbers)
                             : pack_amount(key, adjuster, words, numbers);
}

double turns_from_drawn(const Amount& amount, const Thread& thread) {
    return amount.from == From::drawn ? amount.size : thread.now_turns + amount.size;
}

double turns_from_now(const Amount& amount, const Thread& thread) {
    return amount.from == From::now ? amount.size : amount.size - thread.now_turns;
}

double setting_of(const Amount& amount, const Adjuster& adjuster) {
    return adjuster.thread() ? turns_from_drawn(amount, *adjuster.thread()) : total_mm_of(amount, *adjuster.stack());
}

ValueChange value_change(const std::string& name, const Words& words, std::string_view unit,
                         std::optional<double> flag_span_mm) {
    if (const double* by = std::get_if<double>(&words.said)) return {*by, {}};
    const bool percent = unit == "percent";
    const std::string shown(percent ? "%" : unit);
    std::string rule =
        "needs a change, such as " + std::string(unit == "deg" ? "+0.25" : "+2") + (shown.empty() ? "" : " " + shown);
    if (flag_span_mm) rule += " or +1 mm (at the flags)";
    const auto* text = std::get_if<std::string>(&words.said);
    const std::string lower = text ? lowered(*text) : "";
    Reader reader(lower);
    const auto found = reader.take_signed();
    if (!found || found->equals) fail(name, words, rule);
    const double by = found->sign == '-' ? -found->number : found->number;
    const std::string_view rest = reader.rest();
    if (rest.empty() || rest == lowered(unit) || (percent && rest == "%")) return {by, {}};
    if (!flag_span_mm || rest != "mm") {
        constexpr std::string_view units[] = {"mm", "deg", "kg", "n", "nm", "%"};
        const bool is_unit = std::find(std::begin(units), std::end(units), rest) != std::end(units);
        fail(name, words, is_unit ? "is in " + shown + ", not in " + std::string(rest) + ": " + rule : rule);
    }
    if (!(*flag_span_mm > 0.0)) fail(name, words, "the car file gives no flag_span_mm for this wheel: give degrees");
    if (!(std::fabs(by) <= *flag_span_mm))
        fail(name, words, "is more than the flags' span of " + files::shown(*flag_span_mm) + " mm");
    return {std::asin(by / *flag_span_mm) * deg_per_rad, by};
}

}  // namespace shimwise

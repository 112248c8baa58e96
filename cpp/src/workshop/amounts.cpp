#include "shimwise/workshop/amounts.hpp"

#include <algorithm>
#include <charconv>
#include <optional>
#include <string_view>

#include "files/shown.hpp"
#include "shimwise/error.hpp"
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
    char sign = '\0';  // '+' or '-'; 0 where there is none
    double number = 0.0;
};

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

    /// "2", "0.35", ".5"
    std::optional<double> take_decimal() {
        Reader ahead = *this;
        const bool wholes = !ahead.take_while(is_digit).empty();
        const bool parts = ahead.take(".") && !ahead.take_while(is_digit).empty();
        if (!wholes && !parts) return std::nullopt;
        const std::string_view digits = rest_.substr(0, rest_.size() - ahead.rest_.size());
        *this = ahead;
        return value_of(digits);
    }

    /// "+ 1 1/2 ", "-3/4", "0.35": with the blanks behind it.
    std::optional<SignedNumber> take_signed() {
        const char sign = take("+") ? '+' : take("-") ? '-' : '\0';
        take_blanks();
        auto number = take_mixed();
        if (!number) number = take_decimal();
        take_blanks();
        return number ? std::optional(SignedNumber{sign, *number}) : std::nullopt;
    }

private:
    template <class Fits>
    std::string_view take_while(Fits fits) {
        const auto end = std::find_if_not(rest_.begin(), rest_.end(), fits);
        const std::string_view taken = rest_.substr(0, static_cast<std::size_t>(end - rest_.begin()));
        rest_.remove_prefix(taken.size());
        return taken;
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

[[noreturn]] void fail(const std::string& key, const Words& words, std::string rule) {
    throw InputError({{"", 0, 0, key, words.shown, std::move(rule)}});
}

std::optional<double> unit_turns(Reader& reader, const Thread& thread, double number) {
    if (reader.take("mm")) return number / thread.lead_mm();
    if (reader.take("step")) return number * thread.step_turns;
    for (const TurnUnit& unit : turn_unit::all)
        if (reader.take(unit.name)) return number * unit.turns;
    return std::nullopt;
}

/// Turns, and +1 or -1 where a sign or a way counts them from the present setting; 0 where nothing says so.
struct Counted {
    double turns = 0.0;
    double way = 0.0;
};

std::optional<Counted> counted(const std::string& text, const Adjuster& adjuster) {
    const std::string lower = lowered(text);
    Reader reader(lower);
    const auto found = reader.take_signed();
    const auto turns = found ? unit_turns(reader, *adjuster.thread(), found->number) : std::nullopt;
    if (!turns) return std::nullopt;
    const char sign = found->sign;
    reader.take("s");
    if (reader.at_end()) return Counted{*turns, sign == '+' ? 1.0 : sign == '-' ? -1.0 : 0.0};
    const Ways ways = thread_ways(adjuster);
    if (sign != '\0' || !reader.take_blanks()) return std::nullopt;
    if (reader.rest() == ways.up) return Counted{*turns, 1.0};
    if (reader.rest() == ways.down) return Counted{*turns, -1.0};
    return std::nullopt;
}

Counted counted_or_throw(const std::string& key, const Adjuster& adjuster, const Words& words) {
    const auto* text = std::get_if<std::string>(&words.said);
    if (const auto found = text ? counted(*text, adjuster) : std::nullopt) return *found;
    fail(key, words,
         "needs turns, or a number with turns, flats, quarter flats, half turns, steps or mm, such as +2 flats or 2 "
         "flats " +
             std::string(thread_ways(adjuster).up));
}

std::optional<std::vector<double>> pack(const Words& words) {
    if (const auto* shims_mm = std::get_if<std::vector<double>>(&words.said)) return *shims_mm;
    const auto* text = std::get_if<std::string>(&words.said);
    if (!text) return std::nullopt;
    std::vector<double> shims_mm;
    if (lowered(*text) == "no shim") return shims_mm;
    for (std::string_view rest = *text;;) {
        const std::size_t plus = rest.find('+');
        std::string_view piece = stripped(rest.substr(0, plus));
        if (piece.size() >= 2 && piece.substr(piece.size() - 2) == "mm") piece.remove_suffix(2);
        Reader reader(stripped(piece));
        const auto mm = reader.take_decimal();
        if (!mm || !reader.at_end()) return std::nullopt;
        shims_mm.push_back(*mm);
        if (plus == std::string_view::npos) return shims_mm;
        rest.remove_prefix(plus + 1);
    }
}

/// "+0.5 mm", "-1/2", "0.5 mm thicker"
std::optional<double> thicker_mm(const std::string& text) {
    const std::string lower = lowered(text);
    Reader reader(lower);
    const auto found = reader.take_signed();
    if (!found) return std::nullopt;
    const double mm = found->number;
    const bool unit = reader.take("mm");
    if (found->sign != '\0') return reader.at_end() ? std::optional(found->sign == '-' ? -mm : mm) : std::nullopt;
    if (!unit || !reader.take_blanks()) return std::nullopt;
    if (reader.rest() == pack_ways.up) return mm;
    if (reader.rest() == pack_ways.down) return -mm;
    return std::nullopt;
}

std::string listed(const std::vector<double>& numbers) {
    std::string words;
    for (const double number : numbers) words += (words.empty() ? "" : ", ") + files::shown(number);
    return "[" + words + "]";
}

}  // namespace

Words::Words(Said what, std::string as_shown) : said(std::move(what)), shown(std::move(as_shown)) {}
Words::Words(double number) : said(number), shown(files::shown(number)) {}
Words::Words(std::vector<double> shims_mm) : said(shims_mm), shown(listed(shims_mm)) {}
Words::Words(std::string text) : said(text), shown("'" + text + "'") {}

double thread_setting(const std::string& key, const Adjuster& adjuster, const Words& words) {
    if (const double* turns = std::get_if<double>(&words.said)) return *turns;
    const Counted found = counted_or_throw(key, adjuster, words);
    return found.way == 0.0 ? found.turns : adjuster.thread()->now_turns + found.way * found.turns;
}

double thread_change(const std::string& key, const Adjuster& adjuster, const Words& words) {
    if (const double* turns = std::get_if<double>(&words.said)) return *turns;
    const Counted found = counted_or_throw(key, adjuster, words);
    if (found.way != 0.0) return found.way * found.turns;
    const std::string& text = std::get<std::string>(words.said);
    const Ways ways = thread_ways(adjuster);
    fail(key, words,
         "which way? Write +" + text + " (" + std::string(ways.up) + ") or -" + text + " (" + std::string(ways.down) +
             "), from how it stands");
}

std::vector<double> pack_setting(const std::string& key, const Words& words) {
    if (const auto shims_mm = pack(words)) return *shims_mm;
    fail(key, words, "needs the shims fitted, such as 2.0 + 0.5 mm");
}

std::variant<double, std::vector<double>> pack_change(const std::string& key, const Words& words) {
    if (const double* mm = std::get_if<double>(&words.said)) return *mm;
    const auto* text = std::get_if<std::string>(&words.said);
    if (const auto mm = text ? thicker_mm(*text) : std::nullopt) return *mm;
    if (const auto shims_mm = pack(words)) return *shims_mm;
    fail(key, words, "needs a change such as +0.5 mm (thicker), or the shims fitted, such as 2.0 + 0.5 mm");
}

}  // namespace shimwise

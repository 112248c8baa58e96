#include "files/toml_reader.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <charconv>
#include <sstream>
#include <vector>

#include "files/habit_faults.hpp"
#include "files/report.hpp"
#include "files/text.hpp"
#include "shimwise/error.hpp"

namespace shimwise::files {
namespace {

[[noreturn]] void fail(const Report& report, const Place& place, const std::string& field, const std::string& rule) {
    report.throw_located({{report.file(), place.line, place.column, field, place.written, rule}});
}

void demand_utf8(const Report& report, std::string_view text) {
    Place place{1, 1, "", false};
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t length = utf8_length(text, at);
        if (length == 0) fail(report, place, "", "is not UTF-8 text");
        ++place.column;
        if (text[at] == '\n') {
            ++place.line;
            place.column = 1;
        }
        at += length;
    }
}

/// The text of a file by its parser's lines and columns (columns count characters, not bytes).
class Written {
public:
    explicit Written(std::string_view text) : text_(text) {
        starts_.push_back(0);
        for (std::size_t i = 0; i < text.size(); ++i)
            if (text[i] == '\n') starts_.push_back(i + 1);
    }

    /// What stands in `region`, on one line and at most 60 bytes long.
    std::string between(const toml::source_region& region) const {
        const std::size_t begin = offset(region.begin);
        const std::size_t end = std::max(begin, offset(region.end));
        std::string result;
        for (const char c : text_.substr(begin, end - begin)) {
            const bool space = c == ' ' || c == '\n' || c == '\r' || c == '\t';
            if (!space)
                result += c;
            else if (!result.empty() && result.back() != ' ')
                result += ' ';
        }
        while (!result.empty() && result.back() == ' ') result.pop_back();
        constexpr std::size_t longest = 60;
        if (result.size() > longest) {
            std::size_t keep = longest;
            while (keep > 0 && (static_cast<unsigned char>(result[keep]) & 0xC0u) == 0x80u) --keep;
            result = result.substr(0, keep) + " ...";
        }
        return result;
    }

private:
    std::size_t offset(const toml::source_position& position) const {
        if (position.line == 0 || position.line > starts_.size()) return text_.size();
        const std::vector<std::size_t>& columns = columns_of(position.line);
        return columns[std::min<std::size_t>(std::max<std::size_t>(position.column, 1), columns.size()) - 1];
    }

    /// Where each character of a line starts, and where the next line does. Kept for the next: a line may be long.
    const std::vector<std::size_t>& columns_of(std::size_t line) const {
        if (line == line_) return columns_;
        line_ = line;
        columns_.clear();
        const std::size_t end = line < starts_.size() ? starts_[line] : text_.size();
        for (std::size_t at = starts_[line - 1]; at < end; at += std::max<std::size_t>(1, utf8_length(text_, at)))
            columns_.push_back(at);
        columns_.push_back(end);
        return columns_;
    }

    std::string_view text_;
    std::vector<std::size_t> starts_;
    mutable std::size_t line_ = 0;
    mutable std::vector<std::size_t> columns_;
};

Place place_of(const toml::source_region& region) {
    return {static_cast<int>(region.begin.line), static_cast<int>(region.begin.column), "", false};
}

template <class Date>
std::string as_text(const Date& date) {
    std::ostringstream out;
    out << date;
    return out.str();
}

Value convert(const toml::node& node, const Written& written) {
    Value value;
    value.place = place_of(node.source());
    if (const toml::table* table = node.as_table()) {
        value.kind = Value::Kind::table;
        for (const auto& [key, child] : *table) {
            Value item = convert(child, written);
            item.key = std::string(key.str());
            item.key_place = place_of(key.source());
            item.key_place.written = item.place.written;
            value.items.push_back(std::move(item));
        }
        std::stable_sort(value.items.begin(), value.items.end(), [](const Value& a, const Value& b) {
            return std::pair(a.key_place.line, a.key_place.column) < std::pair(b.key_place.line, b.key_place.column);
        });
        return value;
    }
    if (const toml::array* array = node.as_array()) {
        value.kind = Value::Kind::list;
        for (const toml::node& child : *array) value.items.push_back(convert(child, written));
        const bool of_tables = !value.items.empty() && value.items.front().kind == Value::Kind::table;
        if (!of_tables) value.place.written = written.between(node.source());
        return value;
    }
    value.place.written = written.between(node.source());
    if (const auto* flag = node.as_boolean()) {
        value.kind = Value::Kind::boolean;
        value.flag = flag->get();
    } else if (const auto* integer = node.as_integer()) {
        value.kind = Value::Kind::integer;
        value.number = static_cast<double>(integer->get());
    } else if (const auto* number = node.as_floating_point()) {
        value.kind = Value::Kind::number;
        value.number = number->get();
    } else if (const auto* string = node.as_string()) {
        value.kind = Value::Kind::string;
        value.text = string->get();
    } else {
        value.kind = Value::Kind::date;
        if (const auto* date = node.as_date()) value.text = as_text(date->get());
        if (const auto* time = node.as_time()) value.text = as_text(time->get());
        if (const auto* moment = node.as_date_time()) value.text = as_text(moment->get());
    }
    return value;
}

std::string in_quotes(std::string_view text) { return "\"" + std::string(text) + "\""; }

/// "shimwise-car/1" -> kind "car", number 1; number 0 where it is no such thing.
std::pair<std::string, int> parts_of_format(std::string_view text) {
    constexpr std::string_view prefix = "shimwise-";
    const auto slash = text.find('/');
    if (!text.starts_with(prefix) || slash == std::string_view::npos) return {"", 0};
    int number = 0;
    const char* end = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data() + slash + 1, end, number);
    if (error != std::errc() || stop != end || number < 1) return {"", 0};
    return {std::string(text.substr(prefix.size(), slash - prefix.size())), number};
}

void demand_format(const Report& report, const Value& root, std::string_view kind, int newest) {
    const std::string wanted = "shimwise-" + std::string(kind) + "/" + std::to_string(newest);
    const Value* format = root.find("format");
    if (!format)
        fail(report, {1, 1, "", false}, "format", "is missing: the file needs the line format = " + in_quotes(wanted));
    const auto [found, number] = parts_of_format(format->kind == Value::Kind::string ? format->text : "");
    if (number == 0) fail(report, format->place, "format", "is none of ours: needs " + in_quotes(wanted));
    if (found != kind)
        fail(report, format->place, "format",
             "this is a " + found + " file, a " + std::string(kind) + " file is needed (" + in_quotes(wanted) + ")");
    if (number > newest)
        fail(report, format->place, "format",
             "is newer than this version of shimwise, which reads up to " + in_quotes(wanted));
}

/// "Error while parsing array: expected .." -> "in array: expected ..", on one line.
std::string in_words(std::string_view description) {
    constexpr std::string_view head = "Error while parsing ";
    const bool with_head = description.starts_with(head);
    std::string result = with_head ? "in " + std::string(description.substr(head.size())) : std::string(description);
    std::replace(result.begin(), result.end(), '\n', ' ');
    return result.substr(0, result.find(" (TOML_MAX"));  // a macro of the parser's
}

/// The line, from 1, of a dotted name of more parts than any of ours; 0 where there is none. Who walks the tree walks
/// it recursively, and so does the parser.
int line_of_deep_key(std::string_view text) {
    constexpr int most_dots = 7;
    int line = 1, dots = 0;
    std::string_view quote;  // that is open
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        const std::string_view rest = text.substr(i);
        if (c == '\n') {
            ++line;
            dots = 0;
            if (quote.size() == 1) quote = {};
        } else if (!quote.empty()) {
            if (quote[0] == '"' && c == '\\') ++i;
            if (rest.starts_with(quote)) {
                i += quote.size() - 1;
                quote = {};
            }
        } else if (c == '"' || c == '\'') {
            quote = rest.substr(0, rest.starts_with(std::string(3, c)) ? 3 : 1);
            i += quote.size() - 1;
        } else if (c == '#') {
            i = std::min(text.find('\n', i), text.size()) - 1;
        } else if (c == '.') {
            if (++dots > most_dots) return line;
        } else if (c == ',' || c == '=' || c == '[' || c == '{') {
            dots = 0;
        }
    }
    return 0;
}

}  // namespace

Document read_toml(const Source& source, std::string_view kind, int newest) {
    const Report report(source);
    const Text read = read_text(source);
    const std::string_view text = read.utf8;
    demand_utf8(report, text);
    if (const int line = line_of_deep_key(text); line > 0)
        fail(report, {line, 1, "", false}, "", "is not valid TOML here: a name of more than 8 parts");
    Value root;
    try {
        root = convert(toml::parse(text, source.name), Written(text));
    } catch (const toml::parse_error& error) {
        const Place place = place_of(error.source());
        if (auto habits = habit_faults(source.name, text, place.line); !habits.empty())
            report.throw_located(std::move(habits));
        fail(report, place, "", "is not valid TOML: " + in_words(error.description()));
    }
    demand_format(report, root, kind, newest);
    return {std::move(root), read.origin};
}

}  // namespace shimwise::files

#include "files/habit_faults.hpp"

#include <algorithm>

#include "files/text.hpp"

namespace shimwise::files {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r'; }
bool ends_value(char c) { return is_blank(c) || c == ',' || c == '}' || c == ']' || c == '#'; }

std::string_view stripped(std::string_view text) {
    while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
    return text;
}

/// A line with its comment cut off and dots in place of what stands in quotes.
std::string masked(std::string_view line) {
    std::string result;
    char quote = '\0';
    for (std::size_t i = 0; i < line.size(); ++i) {
        const char c = line[i];
        if (quote == '\0' && c == '#') break;
        const bool closes = quote != '\0' && c == quote;
        const bool opens = quote == '\0' && (c == '"' || c == '\'');
        result += quote != '\0' && !closes ? '.' : c;
        if (quote == '"' && c == '\\' && i + 1 < line.size()) {
            result += '.';
            ++i;
        }
        if (closes) quote = '\0';
        if (opens) quote = c;
    }
    return result;
}

class Scan {
public:
    Scan(std::string path, std::string_view text) : path_(std::move(path)) {
        int number = 0;
        for (std::size_t at = 0; at <= text.size();) {
            const std::size_t end = std::min(text.find('\n', at), text.size());
            line(++number, text.substr(at, end - at));
            at = end + 1;
        }
    }

    std::vector<Problem> take() { return std::move(problems_); }

private:
    void line(int number, std::string_view written) {
        const std::string text = masked(written);
        const std::string_view head = stripped(text);
        if (head.starts_with('[') && head.ends_with(']')) {
            const auto from = static_cast<std::size_t>(head.data() - text.data());
            table_ = std::string(written.substr(from, head.size()));
            table_.erase(std::remove_if(table_.begin(), table_.end(), [](char c) { return c == '[' || c == ']'; }),
                         table_.end());
            return;
        }
        std::string field;
        std::vector<std::string> tables;  // inline ones that are open
        int lists = 0;
        std::size_t key_from = 0;
        constexpr std::size_t deepest = 16;  // no table of ours: the names would grow without end
        for (std::size_t i = 0; i < text.size() && tables.size() <= deepest; ++i) {
            const char c = text[i];
            if (c == '[') ++lists;
            if (c == ']') --lists;
            if (c == '{') tables.push_back(field);
            if (c == '}' && !tables.empty()) tables.pop_back();
            if (c == '{' || c == ',') key_from = i + 1;
            if (c == '=')
                field =
                    joined(tables.empty() ? table_ : tables.back(), stripped(written.substr(key_from, i - key_from)));
            const bool starts = i == 0 || ends_value(text[i - 1]) || text[i - 1] == '=' || text[i - 1] == '[';
            if (field.empty() || !starts) continue;
            const std::size_t length = lists == 0 ? std::max(blank(text, i), comma(text, i)) : blank(text, i);
            if (length == 0) continue;
            const bool unread = c == '_';
            problems_.push_back({path_, number, column(written, i), field, text.substr(i, length),
                                 unread ? "is not filled in" : "a number has a point, not a comma"});
            i += length - 1;
        }
    }

    static std::string joined(const std::string& table, std::string_view key) {
        return table.empty() ? std::string(key) : table + "." + std::string(key);
    }

    static int column(std::string_view line, std::size_t at) {
        int count = 1;
        for (std::size_t i = 0; i < at; i += std::max<std::size_t>(1, utf8_length(line, i))) ++count;
        return count;
    }

    /// Length of "___" at `at`; 0 where there is none.
    static std::size_t blank(std::string_view text, std::size_t at) {
        std::size_t end = at;
        while (end < text.size() && text[end] == '_') ++end;
        return end >= at + 2 && (end == text.size() || ends_value(text[end])) ? end - at : 0;
    }

    /// Length of "-12,5" at `at`; 0 where there is none.
    static std::size_t comma(std::string_view text, std::size_t at) {
        std::size_t end = at;
        const auto digits = [&] {
            const std::size_t from = end;
            while (end < text.size() && is_digit(text[end])) ++end;
            return end > from;
        };
        if (text[end] == '+' || text[end] == '-') ++end;
        if (!digits() || end == text.size() || text[end] != ',') return 0;
        ++end;
        if (!digits()) return 0;
        return end == text.size() || ends_value(text[end]) ? end - at : 0;
    }

    std::string path_;
    std::string table_;
    std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> habit_faults(const std::string& path, std::string_view text, int fault_line) {
    std::vector<Problem> found = Scan(path, text).take();
    const bool is_it =
        std::any_of(found.begin(), found.end(), [&](const Problem& problem) { return problem.line == fault_line; });
    return is_it ? found : std::vector<Problem>();
}

}  // namespace shimwise::files

#include "files/toml_text.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>

namespace shimwise::files {
namespace {

template <class List>
std::string listed(const List& list) {
    std::string text = "[";
    for (const auto& item : list) text += (text.size() > 1 ? ", " : "") + toml_of(item);
    return text + "]";
}

}  // namespace

std::string toml_of(double number) {
    std::array<char, 32> digits{};
    const auto [end, error] = std::to_chars(digits.data(), digits.data() + digits.size(), number);
    std::string text(digits.data(), end);
    return text.find_first_of(".en") == std::string::npos ? text + ".0" : text;
}

std::string toml_of(int number) { return std::to_string(number); }

std::string toml_of(bool flag) { return flag ? "true" : "false"; }

std::string toml_of(std::string_view text) {
    std::string quoted = "\"";
    for (const char c : text) {
        const auto code = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\')
            quoted += {'\\', c};
        else if (code < 0x20 || code == 0x7F)
            quoted += {'\\', 'u', '0', '0', "0123456789ABCDEF"[code >> 4], "0123456789ABCDEF"[code & 15]};
        else
            quoted += c;
    }
    return quoted + '"';
}

std::string toml_of(const Vec3<double>& vector) { return listed(std::array{vector.x, vector.y, vector.z}); }
std::string toml_of(const std::pair<double, double>& range) { return listed(std::array{range.first, range.second}); }
std::string toml_of(const std::vector<double>& list) { return listed(list); }
std::string toml_of(const std::vector<std::string>& list) { return listed(list); }

std::string toml_of(const std::vector<std::array<double, 2>>& rows) {
    std::vector<std::pair<double, double>> pairs;
    for (const auto& [mm, force_N] : rows) pairs.emplace_back(mm, force_N);
    return listed(pairs);
}

std::string toml_key(std::string_view key) {
    const bool bare = !key.empty() && std::all_of(key.begin(), key.end(), [](unsigned char c) {
        return c < 0x80 && (std::isalnum(c) != 0 || c == '_' || c == '-');
    });
    return bare ? std::string(key) : toml_of(key);
}

std::string TomlTable::on_one_line() const {
    std::string text;
    for (const auto& [key, value] : entries_) {
        text += text.empty() ? "{ " : ", ";
        text.append(key).append(" = ").append(value);
    }
    return text.empty() ? "{}" : text + " }";
}

std::string TomlTable::lines() const {
    std::string text;
    for (const auto& [key, value] : entries_) text.append(key).append(" = ").append(value).append("\n");
    return text;
}

}  // namespace shimwise::files

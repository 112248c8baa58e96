// Values as TOML 1.0. It knows no key. Numbers have the fewest digits that are read as the same number, bit for bit.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "shimwise/math/vec3.hpp"

namespace shimwise::files {

std::string toml_of(double number);
std::string toml_of(int number);
std::string toml_of(bool flag);
std::string toml_of(std::string_view text);
inline std::string toml_of(const char* text) { return toml_of(std::string_view(text)); }  // which would be a bool
inline std::string toml_of(const std::string& text) { return toml_of(std::string_view(text)); }
std::string toml_of(const Vec3<double>& vector);
std::string toml_of(const std::pair<double, double>& range);
std::string toml_of(const std::vector<double>& list);
std::string toml_of(const std::vector<std::string>& list);
std::string toml_of(const std::vector<std::array<double, 2>>& rows);

/// A name as it stands before "=": in quotes where it needs them.
std::string toml_key(std::string_view key);

/// Keys and values of one table.
class TomlTable {
public:
    template <class T>
    void put(std::string_view key, const T& value) {
        entries_.emplace_back(toml_key(key), toml_of(value));
    }
    void put(std::string_view key, const TomlTable& table) {
        entries_.emplace_back(toml_key(key), table.on_one_line());
    }
    /// What is already TOML: a date.
    void put_written(std::string_view key, const std::string& toml) { entries_.emplace_back(toml_key(key), toml); }

    bool empty() const { return entries_.empty(); }
    /// "{ a = 1.0, b = 2.0 }"
    std::string on_one_line() const;
    /// Each on a line of its own.
    std::string lines() const;

private:
    std::vector<std::pair<std::string, std::string>> entries_;
};

}  // namespace shimwise::files

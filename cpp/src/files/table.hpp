// Typed reading of one table: what is wrong is reported, what is never asked for is an unknown key.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/report.hpp"
#include "files/value.hpp"
#include "shimwise/math/vec3.hpp"

namespace shimwise::files {

enum class Wanted { optional, required };

class Table {
public:
    /// `value` may be null: a table that is not given; reading from it gives nothing and reports nothing.
    Table(const Value* value, std::string field, Report& report);

    bool given() const { return value_ != nullptr; }
    bool has(std::string_view key) const { return find(key) != nullptr; }
    const Value* find(std::string_view key) const;
    const Value* value() const { return value_; }
    Place place() const { return value_ ? value_->place : Place{}; }
    const std::string& field() const { return field_; }
    std::string field(std::string_view key) const;
    Report& report() const { return *report_; }

    /// Each returns whether it has put a value into `into`.
    bool read(std::string_view key, double& into, Wanted wanted = Wanted::optional);
    bool read(std::string_view key, int& into, Wanted wanted = Wanted::optional);
    bool read(std::string_view key, bool& into, Wanted wanted = Wanted::optional);
    bool read(std::string_view key, std::string& into, Wanted wanted = Wanted::optional);
    bool read(std::string_view key, Vec3<double>& into, Wanted wanted = Wanted::optional);
    bool read(std::string_view key, std::vector<double>& into, Wanted wanted = Wanted::optional);
    bool read(std::string_view key, std::vector<std::string>& into, Wanted wanted = Wanted::optional);
    bool read(std::string_view key, std::vector<std::array<double, 2>>& into, Wanted wanted = Wanted::optional);
    /// A range: the smaller first.
    bool read(std::string_view key, std::pair<double, double>& into, Wanted wanted = Wanted::optional);
    template <class T>
    bool read(std::string_view key, std::optional<T>& into, Wanted wanted = Wanted::optional) {
        T value{};
        if (!read(key, value, wanted)) return false;
        into = std::move(value);
        return true;
    }
    /// A date, or with `time_too` a date and time, as ISO text.
    bool read_date(std::string_view key, std::string& into, bool time_too);
    /// A vector of three made unit; a zero vector is refused.
    bool read_direction(std::string_view key, Vec3<double>& into, Wanted wanted = Wanted::optional);
    /// One number, or a list of them.
    bool read_one_or_more(std::string_view key, std::vector<double>& into);
    template <class Enum, std::size_t N>
    bool choice(std::string_view key, const std::array<std::string_view, N>& names, Enum& into,
                Wanted wanted = Wanted::optional) {
        const auto found = choice_index(key, {names.begin(), names.end()}, wanted);
        if (!found) return false;
        into = static_cast<Enum>(*found);
        return true;
    }
    std::optional<std::size_t> choice_index(std::string_view key, const std::vector<std::string>& names, Wanted wanted);

    Table table(std::string_view key, Wanted wanted = Wanted::optional);
    /// [[key]], each under the field "key[1]", "key[2]", ...
    std::vector<Table> tables(std::string_view key);
    /// A key of this table, whether it is there or not: no unknown one, and among those that a message names.
    void know(std::string_view key);
    /// The keys as written, where they are names: none of them is unknown.
    std::vector<std::string> names();
    /// The keys, which must be among `known` (that are `what`): others are reported and left out.
    std::vector<std::string> names_among(const std::vector<std::string>& known, const std::string& what);

    /// A fault of the value of `key`, or of the table where it is not given.
    void problem(std::string_view key, const std::string& rule);
    /// Two ways of saying one thing: reports the second where both are given.
    bool not_both(std::string_view first, std::string_view second);
    /// Reports every key that was never asked for.
    void close() const;

private:
    const Value* ask(std::string_view key, Wanted wanted, std::string_view needs);
    bool finite(const Value& value, std::string_view key, const std::string& needs);
    std::optional<std::vector<double>> numbers(std::string_view key, Wanted wanted, const std::string& needs);

    const Value* value_;
    std::string field_;
    Report* report_;
    std::vector<std::string> asked_;
    bool any_key_ = false;
};

}  // namespace shimwise::files

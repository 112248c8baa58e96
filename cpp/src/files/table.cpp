#include "files/table.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "shimwise/files/did_you_mean.hpp"

namespace shimwise::files {
namespace {

using Kind = Value::Kind;

constexpr double largest = 1e12;  // its squares and products stay finite

bool is_number(const Value& value) { return value.kind == Kind::integer || value.kind == Kind::number; }
std::string counted(std::size_t n, const std::string& what) {
    return std::to_string(n) + " " + what + (n == 1 ? "" : "s");
}
bool plain_key(std::string_view key) {
    return !key.empty() && std::all_of(key.begin(), key.end(), [](unsigned char c) {
        return std::isalnum(c) != 0 || c == '_' || c == '-' || c == '[' || c == ']';
    });
}

}  // namespace

Table::Table(const Value* value, std::string field, Report& report)
    : value_(value), field_(std::move(field)), report_(&report) {
    if (value_) report_->remember(field_, value_->place);
}

const Value* Table::find(std::string_view key) const { return value_ ? value_->find(key) : nullptr; }

std::string Table::field(std::string_view key) const {
    const std::string shown = plain_key(key) ? std::string(key) : "\"" + std::string(key) + "\"";
    return field_.empty() ? shown : field_ + "." + shown;
}

void Table::know(std::string_view key) {
    if (std::find(asked_.begin(), asked_.end(), key) == asked_.end()) asked_.emplace_back(key);
}

const Value* Table::ask(std::string_view key, Wanted wanted, std::string_view needs) {
    know(key);
    const Value* found = find(key);
    if (found)
        report_->remember(field(key), found->place);
    else if (value_ && wanted == Wanted::required)
        report_->add(value_->place, field(key), "is missing: " + std::string(needs));
    return found;
}

void Table::problem(std::string_view key, const std::string& rule) {
    know(key);
    const Value* found = find(key);
    report_->add(found ? found->place : value_ ? value_->place : Place{}, field(key), rule);
}

bool Table::finite(const Value& value, std::string_view key, const std::string& needs) {
    if (!is_number(value)) {
        problem(key, needs);
        return false;
    }
    if (!std::isfinite(value.number)) {
        problem(key, "must be a finite number");
        return false;
    }
    if (!(std::abs(value.number) <= largest)) {
        problem(key, "is beyond 1e12, larger than anything here");
        return false;
    }
    return true;
}

bool Table::read(std::string_view key, double& into, Wanted wanted) {
    const std::string needs = "needs a number";
    const Value* found = ask(key, wanted, needs);
    if (!found || !finite(*found, key, needs)) return false;
    into = found->number;
    return true;
}

bool Table::read(std::string_view key, int& into, Wanted wanted) {
    const std::string needs = "needs a whole number";
    const Value* found = ask(key, wanted, needs);
    if (!found) return false;
    if (found->kind != Kind::integer || !(std::abs(found->number) <= 1e9)) {
        problem(key, needs);
        return false;
    }
    into = static_cast<int>(found->number);
    return true;
}

bool Table::read(std::string_view key, bool& into, Wanted wanted) {
    const std::string needs = "needs true or false";
    const Value* found = ask(key, wanted, needs);
    if (!found) return false;
    if (found->kind != Kind::boolean) {
        problem(key, needs);
        return false;
    }
    into = found->flag;
    return true;
}

bool Table::read(std::string_view key, std::string& into, Wanted wanted) {
    const std::string needs = "needs a text in quotes";
    const Value* found = ask(key, wanted, needs);
    if (!found) return false;
    if (found->kind != Kind::string) {
        problem(key, needs);
        return false;
    }
    into = found->text;
    return true;
}

bool Table::read_date(std::string_view key, std::string& into, bool time_too) {
    const Value* found = ask(key, Wanted::optional, "");
    if (!found) return false;
    const bool has_date = found->kind == Kind::date && found->text.find('-') != std::string::npos;
    const bool has_time = found->kind == Kind::date && found->text.find(':') != std::string::npos;
    if (!has_date || (has_time && !time_too)) {
        problem(key, time_too ? "needs a date or a date and time, without quotes, such as 2026-05-02T08:10:00Z"
                              : "needs a date without quotes, such as 2026-04-20");
        return false;
    }
    into = found->text;
    return true;
}

std::optional<std::vector<double>> Table::numbers(std::string_view key, Wanted wanted, const std::string& needs) {
    const Value* found = ask(key, wanted, needs);
    if (!found) return std::nullopt;
    if (found->kind != Kind::list) {
        problem(key, needs);
        return std::nullopt;
    }
    std::vector<double> result;
    for (const Value& item : found->items) {
        if (!finite(item, key, needs)) return std::nullopt;
        result.push_back(item.number);
    }
    return result;
}

bool Table::read(std::string_view key, Vec3<double>& into, Wanted wanted) {
    const auto list = numbers(key, wanted, "needs 3 numbers (x, y, z)");
    if (!list) return false;
    if (list->size() != 3) {
        problem(key, "has " + counted(list->size(), "number") + ", needs 3 (x, y, z)");
        return false;
    }
    const double side = find(key)->place.mirrored ? -1.0 : 1.0;
    into = {(*list)[0], side * (*list)[1], (*list)[2]};
    return true;
}

bool Table::read_direction(std::string_view key, Vec3<double>& into, Wanted wanted) {
    Vec3<double> direction;
    if (!read(key, direction, wanted)) return false;
    const double length2 = squared(direction);
    if (!(length2 > 0.0)) {
        problem(key, "is a zero vector: it has no direction");
        return false;
    }
    // What was made unit before stays as it is: a saved direction is read as the same one.
    constexpr double rounding = 8.0 * std::numeric_limits<double>::epsilon();
    into = std::abs(length2 - 1.0) <= rounding ? direction : direction * (1.0 / std::sqrt(length2));
    return true;
}

bool Table::read(std::string_view key, std::vector<double>& into, Wanted wanted) {
    const auto list = numbers(key, wanted, "needs a list of numbers");
    if (!list) return false;
    into = *list;
    return true;
}

bool Table::read_one_or_more(std::string_view key, std::vector<double>& into) {
    const Value* found = find(key);
    if (found && found->kind == Kind::list) {
        if (!read(key, into)) return false;
        if (!into.empty()) return true;
        problem(key, "is an empty list");
        return false;
    }
    double one = 0.0;
    if (!read(key, one)) return false;
    into = {one};
    return true;
}

bool Table::read(std::string_view key, std::vector<std::string>& into, Wanted wanted) {
    const std::string needs = "needs a list of names in quotes";
    const Value* found = ask(key, wanted, needs);
    if (!found) return false;
    std::vector<std::string> names;
    bool good = found->kind == Kind::list;
    for (const Value& item : found->items) {
        good = good && item.kind == Kind::string;
        names.push_back(item.text);
    }
    if (!good) {
        problem(key, needs);
        return false;
    }
    into = std::move(names);
    return true;
}

bool Table::read(std::string_view key, std::vector<std::array<double, 2>>& into, Wanted wanted) {
    const std::string needs = "needs a list of pairs of numbers";
    const Value* found = ask(key, wanted, needs);
    if (!found) return false;
    std::vector<std::array<double, 2>> rows;
    if (found->kind != Kind::list) {
        problem(key, needs);
        return false;
    }
    for (const Value& row : found->items) {
        if (row.kind != Kind::list || row.items.size() != 2) {
            problem(key, needs);
            return false;
        }
        if (!finite(row.items[0], key, needs) || !finite(row.items[1], key, needs)) return false;
        rows.push_back({row.items[0].number, row.items[1].number});
    }
    into = std::move(rows);
    return true;
}

bool Table::read(std::string_view key, std::pair<double, double>& into, Wanted wanted) {
    const auto list = numbers(key, wanted, "needs 2 numbers (least, most)");
    if (!list) return false;
    if (list->size() != 2) {
        problem(key, "has " + counted(list->size(), "number") + ", needs 2 (least, most)");
        return false;
    }
    if (!((*list)[0] <= (*list)[1])) {
        problem(key, "the smaller number must stand first");
        return false;
    }
    into = {(*list)[0], (*list)[1]};
    return true;
}

std::optional<std::size_t> Table::choice_index(std::string_view key, const std::vector<std::string>& names,
                                               Wanted wanted) {
    std::string needs = "needs one of ";
    for (std::size_t i = 0; i < names.size(); ++i) needs += (i ? ", " : "") + names[i];
    const Value* found = ask(key, wanted, needs);
    if (!found) return std::nullopt;
    if (found->kind == Kind::string) {
        const auto at = std::find(names.begin(), names.end(), found->text);
        if (at != names.end()) return static_cast<std::size_t>(at - names.begin());
        const std::string near = nearest_name(found->text, names);
        if (!near.empty()) needs += "; did you mean \"" + near + "\"?";
    }
    problem(key, needs);
    return std::nullopt;
}

Table Table::table(std::string_view key, Wanted wanted) {
    const std::string needs = "needs a table";
    const Value* found = ask(key, wanted, needs);
    if (found && found->kind != Kind::table) {
        problem(key, needs);
        found = nullptr;
    }
    return Table(found, field(key), *report_);
}

std::vector<Table> Table::tables(std::string_view key) {
    std::vector<Table> result;
    const Value* found = ask(key, Wanted::optional, "");
    if (!found) return result;
    bool good = found->kind == Kind::list;
    for (const Value& item : found->items) good = good && item.kind == Kind::table;
    if (!good) {
        problem(key, "needs tables, each under [[" + field(key) + "]]");
        return result;
    }
    for (std::size_t i = 0; i < found->items.size(); ++i)
        result.emplace_back(&found->items[i], field(key) + "[" + std::to_string(i + 1) + "]", *report_);
    return result;
}

std::vector<std::string> Table::names() {
    any_key_ = true;
    std::vector<std::string> result;
    if (value_)
        for (const Value& item : value_->items) result.push_back(item.key);
    return result;
}

std::vector<std::string> Table::names_among(const std::vector<std::string>& known, const std::string& what) {
    std::vector<std::string> result;
    for (const std::string& name : names()) {
        if (std::find(known.begin(), known.end(), name) != known.end())
            result.push_back(name);
        else
            problem(name, "is no " + what + (report_->full() ? "" : did_you_mean(name, known)));
    }
    return result;
}

bool Table::not_both(std::string_view first, std::string_view second) {
    if (!has(first) || !has(second)) return true;
    problem(second, "is given beside " + std::string(first) + ": only one of them may be");
    return false;
}

void Table::close() const {
    if (!value_ || any_key_) return;
    std::vector<std::string> open;
    for (const std::string& key : asked_)
        if (!has(key)) open.push_back(key);
    for (const Value& item : value_->items) {
        if (std::find(asked_.begin(), asked_.end(), item.key) != asked_.end()) continue;
        const std::string near = report_->full() ? "" : nearest_name(item.key, open);
        std::string rule = "is not a key here";
        if (!report_->full())
            rule += near.empty() ? did_you_mean(item.key, asked_) : "; did you mean \"" + near + "\"?";
        report_->add(item.key_place, field(item.key), rule);
    }
}

}  // namespace shimwise::files

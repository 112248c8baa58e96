#include <algorithm>
#include <cmath>
#include <set>

#include "files/table.hpp"
#include "files/toml_reader.hpp"
#include "files/toml_text.hpp"
#include "shimwise/error.hpp"
#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/workshop/measure/baseline.hpp"
#include "workshop/files/setting_faults.hpp"
#include "workshop/measure/baseline_of_car.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using files::Table;
using files::toml_of;
using files::TomlTable;
using files::Wanted;

constexpr std::string_view seal_head = "\n[seal]\n";
constexpr std::size_t digest_digits = 16;
constexpr double same_number = 1e-6;  // of a value's uncertainty: what rounding makes
constexpr std::array<std::string_view, 2> rack_names = {"free", "locked at centre"}, strut_names = {"springs", "solid"};

// Writing ---------------------------------------------------------------------------------------------------------

/// A text over several lines, as it was typed but for what TOML cannot show.
std::string block(std::string_view text) {
    std::string written = "\"\"\"\n";
    std::size_t quotes = 0;
    for (const char c : text) {
        const auto code = static_cast<unsigned char>(c);
        quotes = c == '"' ? quotes + 1 : 0;
        if (c == '\\' || quotes == 3) {
            written += {'\\', c};
            quotes = 0;
        } else if ((code < 0x20 && c != '\n' && c != '\t') || code == 0x7F) {
            written += {'\\', 'u', '0', '0', "0123456789ABCDEF"[code >> 4], "0123456789ABCDEF"[code & 15]};
        } else {
            written += c;
        }
    }
    if (!text.empty() && text.back() == '"') written.insert(written.size() - 1, "\\");
    return written + "\"\"\"";
}

class Written {
public:
    void table(const std::string& name, const TomlTable& table) {
        if (!table.empty()) text_ += "\n[" + name + "]\n" + table.lines();
    }
    void top(const TomlTable& table) { text_ += table.lines(); }
    std::string sealed() {
        const std::string digest = digits(origin_of(text_ + "\n"));
        return text_ + std::string(seal_head) + "digest = " + toml_of(digest) + "\n";
    }

private:
    std::string text_;
};

template <class Map>
TomlTable table_of(const Map& map) {
    TomlTable table;
    for (const auto& [key, value] : map) table.put(key, value);
    return table;
}

TomlTable by_corner(const std::array<double, corner_count>& of) {
    TomlTable table;
    for (std::size_t c = 0; c < corner_count; ++c) table.put(corner_names[c], of[c]);
    return table;
}

TomlTable head_of(const Baseline& b) {
    TomlTable head;
    head.put("format", std::string(baseline_format));
    head.put("car", b.car);
    head.put("reason", b.reason);
    if (!b.place.empty()) head.put("place", b.place);
    if (!b.at.empty()) head.put_written("at", b.at);
    head.put("shimwise", b.version);
    if (!b.replaces.empty()) head.put("replaces", b.replaces);
    return head;
}

TomlTable state_of(const Baseline& b) {
    TomlTable state;
    if (!b.ballast_kg.empty()) state.put("ballast_kg", table_of(b.ballast_kg));
    if (b.bars) state.put("bars", bars_were_names[index(*b.bars)]);
    state.put("rack", rack_names[b.rack_locked ? 1 : 0]);
    state.put("struts", strut_names[b.struts_solid ? 1 : 0]);
    return state;
}

TomlTable instruments_of(const InstrumentNames& names) {
    TomlTable table;
    if (!names.strings.empty()) table.put("strings", names.strings);
    if (!names.camber_gauge.empty()) table.put("camber_gauge", names.camber_gauge);
    if (!names.scale.empty()) table.put("scale", names.scale);
    return table;
}

// Reading ---------------------------------------------------------------------------------------------------------

/// Throws where the file is not as it was written.
void demand_seal(const Source& source, const files::Value& root) {
    const files::Value* table = root.find("seal");
    const files::Value* digest = table ? table->find("digest") : nullptr;
    const auto fail = [&](const files::Place& place, const std::string& rule) {
        throw InputError({{source.name, source.has_lines ? place.line : 0, source.has_lines ? place.column : 0,
                           "seal.digest", place.written, rule}});
    };
    if (!digest || digest->kind != files::Value::Kind::string)
        fail(table ? table->place : files::Place{1, 1, "", false},
             "is missing: the file was cut off or written by hand; only `shimwise accept` writes a baseline");
    const std::size_t at = source.bytes.rfind(seal_head);
    if (at == std::string::npos || digits(origin_of(source.bytes.substr(0, at + 1))) != digest->text)
        fail(digest->place,
             "is not that of what stands above: the file was changed after it was written. Take it from a copy, or "
             "accept anew");
}

bool is_digest(const std::string& text) {
    return text.size() == digest_digits && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

void read_digest(Table& table, std::string_view key, std::string& into, Wanted wanted) {
    if (table.read(key, into, wanted) && !is_digest(into)) table.problem(key, "needs 16 hexadecimal digits");
}

void read_text_of(Table& table, std::string_view key, std::string& into) {
    if (table.read(key, into, Wanted::required) && into.empty()) table.problem(key, "is empty");
}

template <class Into>
void read_named(Table table, Into& into) {
    for (const std::string& key : table.names()) {
        typename Into::mapped_type value{};
        if (table.read(key, value)) into[key] = value;
    }
}

void read_state(Table table, Baseline& b) {
    Table ballast = table.table("ballast_kg");
    for (const std::string& name : ballast.names())
        if (ballast.read(name, b.ballast_kg[name]) && !(b.ballast_kg[name] >= 0.0))
            ballast.problem(name, "must not be negative");
    if (BarsWere bars{}; table.choice("bars", bars_were_names, bars)) b.bars = bars;
    if (const auto rack = table.choice_index("rack", {rack_names.begin(), rack_names.end()}, Wanted::required))
        b.rack_locked = *rack == 1;
    if (const auto struts = table.choice_index("struts", {strut_names.begin(), strut_names.end()}, Wanted::required))
        b.struts_solid = *struts == 1;
    table.close();
}

void read_corners(Table table, std::optional<std::array<double, corner_count>>& into) {
    if (!table.given()) return;
    into.emplace();
    for (std::size_t c = 0; c < corner_count; ++c) table.read(corner_names[c], (*into)[c], Wanted::required);
    table.close();
}

void read_instruments(Table table, InstrumentNames& names) {
    table.read("strings", names.strings);
    table.read("camber_gauge", names.camber_gauge);
    table.read("scale", names.scale);
    table.close();
}

void read_values(Table table, std::vector<BaselineValue>& values) {
    for (const std::string& key : table.names()) {
        BaselineValue value;
        value.key = key;
        Table one = table.table(key);
        if (!one.given()) continue;
        const bool all = one.read("value", value.value, Wanted::required) && one.read("u", value.u, Wanted::required) &&
                         one.read("anew", value.anew, Wanted::required);
        one.read("unit", value.unit, Wanted::required);
        one.read("derived", value.derived);
        if (all && !(value.u >= 0.0)) one.problem("u", "must not be negative");
        if (all && !(value.anew >= 0.0 && value.anew <= value.u * (1.0 + same_number)))
            one.problem("anew", "is a part of u: 0 to " + toml_of(value.u));
        one.close();
        values.push_back(std::move(value));
    }
}

/// The lower triangle, row by row, of the values that are not derived.
void read_covariance(Table& table, Baseline& b) {
    std::vector<double> lower;
    if (!table.read("lower", lower, Wanted::required)) return;
    std::vector<const BaselineValue*> base;
    for (const BaselineValue& value : b.values)
        if (!value.derived) base.push_back(&value);
    const std::size_t n = base.size();
    if (lower.size() != n * (n + 1) / 2) {
        table.problem("lower", "has " + std::to_string(lower.size()) + " numbers: the lower triangle of " +
                                   std::to_string(n) + " values has " + std::to_string(n * (n + 1) / 2));
        return;
    }
    b.covariance.resize(static_cast<Index>(n), static_cast<Index>(n));
    std::size_t at = 0;
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t j = 0; j <= i; ++j, ++at) {
            const double most = base[i]->u * base[j]->u;
            const bool fits = i == j ? std::abs(lower[at] - most) <= same_number * most
                                     : std::abs(lower[at]) <= (1.0 + same_number) * most;
            if (!fits) {
                table.problem("lower",
                              "of " + base[i]->key + " and " + base[j]->key + " does not go with their uncertainties");
                return;
            }
            b.covariance(static_cast<Index>(i), static_cast<Index>(j)) =
                b.covariance(static_cast<Index>(j), static_cast<Index>(i)) = lower[at];
        }
}

/// The file as far as it can be read without its car. `root` stays for what is wrong beside a car.
Baseline read_alone(const Source& source, const files::Document& document, files::Report& report) {
    demand_seal(source, document.root);
    Table root(&document.root, "", report);
    Baseline b;
    std::string format;
    b.file = source.name;
    b.origin = document.origin;
    root.read("format", format);
    read_text_of(root, "car", b.car);
    read_text_of(root, "reason", b.reason);
    root.read("place", b.place);
    root.read_date("at", b.at, true);
    read_text_of(root, "shimwise", b.version);
    read_digest(root, "replaces", b.replaces, Wanted::optional);
    Table digests = root.table("digests", Wanted::required);
    read_digest(digests, "car", b.car_digest, Wanted::required);
    read_digest(digests, "sheet", b.sheet_digest, Wanted::required);
    digests.close();
    read_state(root.table("state", Wanted::required), b);
    read_instruments(root.table("instruments"), b.instruments);
    read_corners(root.table("pads_mm"), b.pads_mm);
    b.settings.file = source.name;
    b.settings.car = b.car;
    read_named(root.table("turns"), b.settings.turns);
    read_named(root.table("shims_mm"), b.settings.shims_mm);
    read_named(root.table("box_mm"), b.settings.box_mm);
    Table lengths = root.table("lengths_mm");
    for (std::size_t c = 0; c < corner_count; ++c) read_named(lengths.table(corner_names[c]), b.lengths_mm[c]);
    lengths.close();
    read_values(root.table("values", Wanted::required), b.values);
    Table covariance = root.table("covariance", Wanted::required);
    if (covariance.given()) read_covariance(covariance, b);
    covariance.close();
    Table sheet = root.table("sheet", Wanted::required);
    read_text_of(sheet, "file", b.sheet_file);
    read_text_of(sheet, "text", b.sheet);
    if (!b.sheet.empty() && is_digest(b.sheet_digest) && digits(origin_of(b.sheet)) != b.sheet_digest)
        sheet.problem("text", "is not the sheet whose digest is " + b.sheet_digest);
    sheet.close();
    Table seal = root.table("seal");
    seal.know("digest");
    seal.close();
    root.close();
    if (b.values.empty() && root.has("values")) root.problem("values", "has no value: nothing was accepted");
    return b;
}

/// What is in the file is this car's.
void demand_of_car(const files::Document& document, files::Report& report, const Baseline& b, const Car& car) {
    Table root(&document.root, "", report);
    if (b.car != car.name) {
        root.problem("car", "the car file is of \"" + car.name + "\": a baseline is of one car");
        return;
    }
    Car changed = car;
    for (const SettingFault& fault : put_settings(changed, b.settings)) {
        if (fault.table.empty())
            root.problem(fault.key, fault.rule);
        else
            root.table(fault.table).problem(fault.key, fault.rule);
    }
    Table values = root.table("values");
    for (const BaselineValue& value : b.values) {
        const auto id = named(car, value.key);
        if (!id)
            values.problem(value.key, "is no value of the car");
        else if (info(*id).unit != value.unit)
            values.table(value.key).problem("unit", "is \"" + std::string(info(*id).unit) + "\" of this value");
    }
    std::vector<std::string> ballasts;
    for (const Ballast& ballast : car.ballast) ballasts.push_back(ballast.name);
    root.table("state").table("ballast_kg").names_among(ballasts, "ballast of the car");
}

void demand_lengths(const files::Document& document, files::Report& report, const Baseline& b, const Car& car) {
    const auto set = lengths_set(car);
    Table lengths = Table(&document.root, "", report).table("lengths_mm");
    constexpr double same_mm = 1e-6;
    for (std::size_t c = 0; c < corner_count; ++c) {
        Table corner = lengths.table(corner_names[c]);
        for (const auto& [name, mm] : b.lengths_mm[c]) {
            const auto found = set[c].find(name);
            if (found == set[c].end())
                corner.problem(name, "is no length of this corner that a thread turns");
            else if (!(std::abs(found->second - mm) <= same_mm))
                corner.problem(name, "the turns above make it " + toml_of(found->second) + " mm");
        }
    }
}

/// What follows from others and was not yet written by version 0.1.0.
bool is_new(const std::string& key) { return key == "camber_difference_front" || key == "camber_difference_rear"; }

/// The sheet gives the values again.
void demand_values(const files::Document& document, files::Report& report, const Baseline& b,
                   const Measured& measured) {
    const std::vector<BaselineValue> found = values_to_accept(measured);
    Table values = Table(&document.root, "", report).table("values");
    for (const BaselineValue& value : b.values) {
        const auto of = std::ranges::find(found, value.key, &BaselineValue::key);
        if (of == found.end())
            values.problem(value.key, "does not follow from the sheet in this file");
        else if (!(std::abs(of->value - value.value) <= same_number * of->u &&
                   std::abs(of->u - value.u) <= same_number * of->u))
            values.table(value.key).problem(
                "value", "the sheet in this file gives " + toml_of(of->value) + ", u " + toml_of(of->u));
    }
    for (const BaselineValue& value : found)
        if (std::ranges::find(b.values, value.key, &BaselineValue::key) == b.values.end() && !is_new(value.key))
            values.problem(value.key, "is missing: it follows from the sheet in this file");
}

}  // namespace

std::string baseline_text(const Baseline& b) {
    Written written;
    written.top(head_of(b));
    TomlTable digests;
    digests.put("car", b.car_digest);
    digests.put("sheet", b.sheet_digest);
    written.table("digests", digests);
    written.table("state", state_of(b));
    written.table("instruments", instruments_of(b.instruments));
    if (b.pads_mm) written.table("pads_mm", by_corner(*b.pads_mm));
    written.table("turns", table_of(b.settings.turns));
    written.table("shims_mm", table_of(b.settings.shims_mm));
    written.table("box_mm", table_of(b.settings.box_mm));
    TomlTable lengths;
    for (std::size_t c = 0; c < corner_count; ++c)
        if (!b.lengths_mm[c].empty()) lengths.put(corner_names[c], table_of(b.lengths_mm[c]));
    written.table("lengths_mm", lengths);
    TomlTable values;
    for (const BaselineValue& value : b.values) {
        TomlTable one;
        one.put("value", value.value);
        one.put("u", value.u);
        one.put("anew", value.anew);
        one.put("unit", value.unit);
        if (value.derived) one.put("derived", true);
        values.put(value.key, one);
    }
    written.table("values", values);
    std::vector<double> lower;
    for (Index i = 0; i < b.covariance.rows(); ++i)
        for (Index j = 0; j <= i; ++j) lower.push_back(b.covariance(i, j));
    TomlTable covariance;
    covariance.put("lower", lower);
    written.table("covariance", covariance);
    TomlTable sheet;
    sheet.put("file", b.sheet_file);
    sheet.put_written("text", block(b.sheet));
    written.table("sheet", sheet);
    return written.sealed();
}

bool is_baseline(const Source& source) {
    const std::size_t at = source.bytes.find("format = \"shimwise-baseline/");
    return at != std::string::npos && (at == 0 || source.bytes[at - 1] == '\n');
}

Baseline baseline_from(const Source& source) {
    const files::Document document = files::read_toml(source, "baseline");
    files::Report report(source);
    Baseline b = read_alone(source, document, report);
    report.throw_if_any();
    return b;
}

Baseline baseline_from(const Source& source, const Car& car) {
    const files::Document document = files::read_toml(source, "baseline");
    files::Report report(source);
    Baseline b = read_alone(source, document, report);
    report.throw_if_any();
    demand_of_car(document, report, b, car);
    report.throw_if_any();
    const Car as_set = as_accepted(b, car);
    const Readings readings = readings_of(b, car);
    if (b.car_digest != digits(car.origin) || b.version != SHIMWISE_VERSION) return b;  // what follows may differ
    demand_lengths(document, report, b, as_set);
    demand_values(document, report, b, reduce(readings, as_set));
    report.throw_if_any();
    return b;
}

}  // namespace shimwise

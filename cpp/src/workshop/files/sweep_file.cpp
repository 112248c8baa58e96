#include "shimwise/workshop/files/sweep_file.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <ranges>

#include "files/shown.hpp"
#include "files/table.hpp"
#include "files/toml_reader.hpp"
#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/workshop/amounts.hpp"

namespace shimwise {
namespace {

using files::shown;
using files::Table;
using files::Value;
using files::Wanted;

constexpr int most_values = 1'000'000;  // of one range
constexpr int most_draws = 1'000'000'000;
constexpr double farthest_mm = 1000.0;  // that a point is built off

const std::string by_shims = "needs its packs by their shims, such as [2.0, 0.5], for at_hand";
const std::vector<std::string> ways = {"value", "values", "from", "between", "among"};

/// The rule of the first problem of what a check throws; empty where it throws nothing.
template <class Check>
std::string fault_of(const Check& check) {
    try {
        check();
        return "";
    } catch (const InputError& failure) {
        const Problem& first = failure.problems().front();
        return first.value.empty() ? first.rule : first.value + ": " + first.rule;
    }
}

class SweepReader {
public:
    SweepReader(Table root, const Car& car, SweepFile& sweep) : root_(std::move(root)), car_(car), sweep_(sweep) {}

    void read() {
        std::string format;
        root_.read("format", format);
        std::vector<Table> tables = root_.tables("input");
        Table points = root_.table("points");
        drawn_ = root_.has("points");
        read_hold(tables);
        read_moved(points.given());
        known_ = sweep_inputs(car_, sweep_.hold, sweep_.moved.value_or(Moved::built));
        read_outputs();
        root_.read("at_hand", sweep_.at_hand);
        for (Table& table : tables) read_input(table);
        if (points.given()) read_points(points);
        for (std::size_t i = 0; i < tables.size(); ++i) demand_together(tables[i], i);
        const Value* inputs = root_.find("input");
        const bool none = !inputs || (inputs->kind == Value::Kind::list && inputs->items.empty());
        if (none && !root_.has("points")) root_.problem("input", "needs a table [[input]] for everything that is set");
        read_sample();
        root_.close();
    }

private:
    void read_hold(std::vector<Table>& tables) {
        if (root_.choice("hold", sweep_hold_names, sweep_.hold)) return;
        for (const Table& table : tables)
            if (const Value* name = table.find("name"); name && name->text == "travel_mm")
                sweep_.hold = SweepHold::wheel;
    }

    void read_moved(bool demanded) {
        Moved moved{};
        if (root_.choice("moved", moved_names, moved, demanded ? Wanted::required : Wanted::optional))
            sweep_.moved = moved;
    }

    void read_outputs() {
        if (!root_.read("outputs", sweep_.outputs, Wanted::required)) return;
        if (sweep_.outputs.empty()) root_.problem("outputs", "needs a name or more, such as \"front_left.toe\"");
        std::vector<SweptOutput> all;
        const std::string fault = fault_of_car([&] { all = sweep_outputs(car_, sweep_.hold); });
        if (!fault.empty()) return root_.problem("hold", fault);
        std::map<std::string, std::string> known;  // by name: why it cannot be given, if so
        for (const SweptOutput& one : all) {
            columns_.push_back(one.column);
            for (const std::string& name : names_of(one))
                if (std::string& why = known[name]; why.empty()) why = one.missing;
        }
        for (const std::string& name : sweep_.outputs) {
            const auto found = known.find(name);
            if (found == known.end())
                root_.problem("outputs", "\"" + name + "\" " + why_not_known(name, known));
            else if (!found->second.empty())
                root_.problem("outputs", "\"" + name + "\" cannot be given: " + found->second);
        }
    }

    std::string why_not_known(const std::string& name, const std::map<std::string, std::string>& known) const {
        std::string holds;
        for (const SweepHold hold : holds_with(car_, name)) holds += (holds.empty() ? "" : " or ") + in_quotes(hold);
        if (holds.empty()) {
            const auto names = std::views::keys(known);
            return "is not known" + did_you_mean(name, {names.begin(), names.end()});
        }
        return "is of hold = " + holds + ", and it is " + in_quotes(sweep_.hold);
    }

    static std::string in_quotes(SweepHold hold) { return "\"" + std::string(sweep_hold_names[index(hold)]) + "\""; }

    template <class Work>
    static std::string fault_of_car(const Work& work) {
        try {
            work();
            return "";
        } catch (const OutOfReach& failure) {
            return failure.what();
        }
    }

    const SweptInput* find(const std::string& name) const {
        const auto found = std::ranges::find(known_, name, &SweptInput::key);
        return found == known_.end() ? nullptr : &*found;
    }

    void read_input(Table& table) {
        SweepFileInput input;
        const SweptInput* of = nullptr;
        if (table.read("name", input.name, Wanted::required)) of = demand_name(table, input);
        table.read("change", input.change);
        read_along(table, input);
        std::string way;
        for (const std::string& one : ways) {
            table.know(one);
            if (!table.has(one)) continue;
            if (way.empty())
                way = one;
            else
                table.problem(one, "is one way of saying its values, and \"" + way + "\" another: give one");
        }
        if (way.empty())
            table.problem("values", "is missing: needs value, values, from, between or among");
        else
            read_values(table, way, of, input);
        table.close();
        sweep_.inputs.push_back(std::move(input));
    }

    const SweptInput* demand_name(Table& table, const SweepFileInput& input) {
        const SweptInput* of = find(input.name);
        if (!of) {
            std::vector<std::string> names;
            for (const SweptInput& one : known_) names.push_back(one.key);
            table.problem("name", "is nothing that can be swept with hold = \"" +
                                      std::string(sweep_hold_names[index(sweep_.hold)]) + "\"" +
                                      did_you_mean(input.name, names));
        } else if (of->of == SweptInput::Of::point && !sweep_.moved && !root_.has("points")) {
            table.problem("name", "is a point: say moved = \"drawn\" or \"built\"");
        }
        if (std::ranges::find(sweep_.inputs, input.name, &SweepFileInput::name) != sweep_.inputs.end())
            table.problem("name", "is there twice");
        return of;
    }

    void read_along(Table& table, SweepFileInput& input) {
        if (!table.read("along", input.along)) return;
        const auto taken = [&](const auto& names) { return std::ranges::find(names, input.along) != names.end(); };
        if (input.along.find_first_not_of(' ') == std::string::npos || input.along == "sample" || find(input.along))
            table.problem("along", "needs a name that is neither \"sample\" nor that of an input");
        else if (taken(columns_) || taken(sweep_mask_names))
            table.problem("along", "is the name of a column");
        else if (table.has("value") || table.has("between") || table.has("among"))
            table.problem("along", "is for values or a range");
    }

    void read_values(Table& table, const std::string& way, const SweptInput* of, SweepFileInput& input) {
        drawn_ = drawn_ || way == "between" || way == "among";
        if (way == "between") {
            std::pair<double, double> ends;
            if (!table.read("between", ends)) return;
            input.between = ends;
            if (!(ends.first < ends.second)) table.problem("between", "needs the lower end first");
            demand_shims(table, way, of);
            for (const double end : {ends.first, ends.second}) demand(table, way, of, input, end);
        } else if (way == "from") {
            read_range(table, of, input);
        } else {
            input.single = way == "value";
            input.among = way == "among";
            read_list(table, way, of, input);
        }
    }

    void read_range(Table& table, const SweptInput* of, SweepFileInput& input) {
        double from = 0.0, to = 0.0;
        int count = 0;
        const bool ends = table.read("from", from) & table.read("to", to, Wanted::required);
        if (!table.read("count", count, Wanted::required) || !ends) return;
        if (!(count >= 2 && count <= most_values))
            return table.problem("count", "needs 2 to " + std::to_string(most_values) + " values, both ends included");
        for (int i = 0; i < count; ++i)
            input.values.emplace_back(i + 1 == count ? to : from + (to - from) * (i / (count - 1.0)));
        demand_shims(table, "from", of);
        for (const double end : {from, to}) demand(table, end == from ? "from" : "to", of, input, end);
    }

    void read_list(Table& table, const std::string& way, const SweptInput* of, SweepFileInput& input) {
        const Value* given = table.find(way);
        const bool listed = given->kind == Value::Kind::list;
        if (!input.single && !listed) return table.problem(way, "needs a list of numbers, packs or words");
        const std::vector<Value> one = {*given};
        const std::vector<Value>& items = input.single ? one : given->items;
        if (items.empty()) return table.problem(way, "has no values");
        const bool numbers = std::ranges::all_of(items, [](const Value& item) { return is_number(item); });
        if (numbers) demand_shims(table, way, of);
        for (const Value& item : items) {
            const std::optional<SweepValue> value = value_of(item);
            if (!value) return table.problem(way, "needs numbers, packs of shims such as [2.0, 0.5], or words");
            input.values.push_back(*value);
            if (numbers)
                demand(table, way, of, input, std::get<double>(*value));
            else if (of)
                demand_words(table, way, *of, input, *value);
        }
    }

    static bool is_number(const Value& value) {
        return (value.kind == Value::Kind::number || value.kind == Value::Kind::integer) &&
               std::fabs(value.number) <= 1e12;
    }

    static std::optional<SweepValue> value_of(const Value& item) {
        if (is_number(item)) return item.number;
        if (item.kind == Value::Kind::string) return item.text;
        if (item.kind != Value::Kind::list || !std::ranges::all_of(item.items, is_number)) return std::nullopt;
        std::vector<double> shims_mm;
        for (const Value& shim : item.items) shims_mm.push_back(shim.number);
        return shims_mm;
    }

    void demand(Table& table, const std::string& way, const SweptInput* of, const SweepFileInput& input, double value) {
        if (!of) return;
        const std::string fault = fault_of([&] { demand_settable(car_, *of, sweep_.hold, value, input.change); });
        if (!fault.empty()) table.problem(way, fault);
    }

    /// Numbers do not say of which shims a pack is.
    void demand_shims(Table& table, const std::string& way, const SweptInput* of) {
        if (sweep_.at_hand && of && is_pack(*of)) table.problem(way, by_shims);
    }

    bool is_pack(const SweptInput& of) const {
        return of.of == SweptInput::Of::adjuster && car_.corners[of.corner].adjusters[of.index].stack() != nullptr;
    }

    void demand_words(Table& table, const std::string& way, const SweptInput& of, const SweepFileInput& input,
                      const SweepValue& value) {
        if (of.of != SweptInput::Of::adjuster) return table.problem(way, "needs numbers; words are for adjusters");
        const Adjuster& adjuster = car_.corners[of.corner].adjusters[of.index];
        const Words words = std::visit([](const auto& said) { return Words(said); }, value);
        const std::string fault = fault_of([&] {
            const Amount taken = amount(of.key, adjuster, words, input.change ? From::now : From::drawn);
            demand_settable(car_, of, sweep_.hold, setting_of(taken, adjuster), false);
            if (sweep_.at_hand && adjuster.stack() && !taken.shims_mm) throw InputError({{"", 0, 0, "", "", by_shims}});
        });
        if (!fault.empty()) table.problem(way, fault);
    }

    void read_points(Table& table) {
        SweepPoints points;
        if (table.read("within_mm", points.within_mm, Wanted::required) &&
            !(points.within_mm > 0.0 && points.within_mm <= farthest_mm))
            table.problem("within_mm", "must be more than 0 and at most " + shown(farthest_mm));
        if (table.read("of", points.of)) {
            std::vector<std::string> names(corner_names.begin(), corner_names.end());
            for (const Corner& corner : car_.corners)
                for (const std::string& point : corner.point_names())
                    names.push_back(std::string(corner_names[index(corner.id)]) + "." + point);
            for (const std::string& name : points.of)
                if (std::ranges::find(names, name) == names.end())
                    table.problem("of", "\"" + name + "\" is no corner and no point" + did_you_mean(name, names));
            if (points.of.empty()) table.problem("of", "needs a corner or a point; left out: all");
        }
        table.close();
        sweep_.points = std::move(points);
    }

    /// Inputs along the same name have as many values; none is drawn by [points] too.
    void demand_together(Table& table, std::size_t at) {
        const SweepFileInput& input = sweep_.inputs[at];
        for (std::size_t i = 0; i < at; ++i) {
            const SweepFileInput& other = sweep_.inputs[i];
            if (input.along.empty() || other.along != input.along || input.single || other.single) continue;
            if (input.values.empty() || other.values.empty() || input.values.size() == other.values.size()) continue;
            table.problem("along", "goes with " + other.name + ", which has " + std::to_string(other.values.size()) +
                                       " values, and this has " + std::to_string(input.values.size()));
            break;
        }
        const SweptInput* of = find(input.name);
        if (!of || of->of != SweptInput::Of::point || !sweep_.points) return;
        const std::vector<std::string>& drawn = sweep_.points->of;
        const std::string corner(corner_names[of->corner]);
        const std::string point = corner + "." + std::string(point_names[of->index]);
        const auto holds = [&](const std::string& name) { return std::ranges::find(drawn, name) != drawn.end(); };
        if (drawn.empty() || holds(corner) || holds(point)) table.problem("name", "is drawn by [points] too: give one");
    }

    void read_sample() {
        const bool given = root_.read("sample", sweep_.sample, drawn_ ? Wanted::required : Wanted::optional);
        if (given && !(sweep_.sample >= 1 && sweep_.sample <= most_draws))
            root_.problem("sample", "must be 1 or more");
        else if (given && !drawn_)
            root_.problem("sample", "nothing is drawn: say between or among of an input, or give [points]");
        for (const std::string key : {"by", "seed"})
            if (root_.has(key) && !drawn_) root_.problem(key, "nothing is drawn");
        root_.choice("by", sampling_names, sweep_.by);
        if (root_.read("seed", sweep_.seed) && !(sweep_.seed >= 0)) root_.problem("seed", "must not be negative");
        const auto pack = [&](const SweepFileInput& input) {
            const SweptInput* of = find(input.name);
            return of && is_pack(*of);
        };
        if (sweep_.at_hand && std::ranges::none_of(sweep_.inputs, pack))
            root_.problem("at_hand", "no pack of shims is swept");
    }

    Table root_;
    const Car& car_;
    SweepFile& sweep_;
    std::vector<SweptInput> known_;
    std::vector<std::string> columns_;  // of all outputs
    bool drawn_ = false;
};

}  // namespace

SweepFile sweep_file_from(const Source& source, const Car& car) {
    const files::Document document = files::read_toml(source, "sweep");
    files::Report report(source);
    SweepFile sweep;
    sweep.file = source.name;
    sweep.origin = document.origin;
    SweepReader(Table(&document.root, "", report), car, sweep).read();
    report.throw_if_any();
    return sweep;
}

}  // namespace shimwise

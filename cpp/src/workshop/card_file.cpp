#include "shimwise/workshop/card_file.hpp"

#include <algorithm>
#include <cmath>

#include "files/json_fault.hpp"
#include "files/text.hpp"
#include "shimwise/error.hpp"
#include "shimwise/files/write.hpp"
#include "shimwise/workshop/choose/chance.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/card_json.hpp"
#include "workshop/card_steps.hpp"

namespace shimwise {
namespace {

constexpr std::size_t readings_and_targets = 2;

[[noreturn]] void fail(const std::string& file, const std::string& field, const std::string& value,
                       const std::string& rule) {
    throw InputError({{file, 0, 0, field, value, rule}});
}

/// Nothing where nothing that is asked for was read.
Json data_of(const Chances& chances, bool read) {
    const auto rounded = [read](const BoxProbability& chance) {
        return read ? Json(std::round(chance.value * 1e6) / 1e6) : Json();
    };
    Json data = {{"nothing", rounded(chances.nothing)}, {"closest", rounded(chances.closest)}};
    if (chances.least_work) data["least_work"] = rounded(*chances.least_work);
    return data;
}

Json data_of(const Settings& settings) {
    return {
        {"car", settings.car}, {"turns", settings.turns}, {"shims_mm", settings.shims_mm}, {"box_mm", settings.box_mm}};
}

constexpr int deepest = 64;  // a card has nine levels

/// Whether lists and tables stand in each other deeper than any card: whoever walks the tree walks it recursively.
bool too_deep(std::string_view text) {
    int depth = 0;
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (quoted && c == '\\') ++i;
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        if (c == '{' || c == '[') ++depth;
        if (c == '}' || c == ']') --depth;
        if (depth > deepest) return true;
    }
    return false;
}

Json parsed(const std::string& path, const std::string& text) {
    for (std::size_t at = 0; at < text.size(); at += files::utf8_length(text, at))
        if (files::utf8_length(text, at) == 0) fail(path, "", "", "is not a text file");
    if (too_deep(text)) fail(path, "", "", "has lists and tables in each other too deep for a card");
    try {
        return Json::parse(text);
    } catch (const Json::parse_error& error) {
        throw InputError({files::json_fault(path, text, error.byte, error.what())});
    } catch (const Json::out_of_range&) {
        fail(path, "", "", "has a number that is larger than any");
    }
}

/// A table of numbers, or of lists of numbers; nothing where it is neither.
template <class T>
std::optional<std::map<std::string, T>> table_of(const Json& data) {
    const auto numbers = [](const Json& value) {
        if constexpr (std::is_same_v<T, double>) return value.is_number();
        return value.is_array() && std::all_of(value.begin(), value.end(), [](const Json& v) { return v.is_number(); });
    };
    if (!data.is_object() || !std::all_of(data.begin(), data.end(), numbers)) return {};
    return data.get<std::map<std::string, T>>();
}

/// The digest of an input of the card by its role; of a card of an earlier version, that of any input that is the same.
bool made_from(const Json& card, const Input& input) {
    const Json digests = member(card, "inputs"), roles = member(card, "roles");
    if (!roles.is_object())
        return std::find(digests.begin(), digests.end(), Json(digits(input.origin))) != digests.end();
    const Json name = member(roles, input.role.c_str());
    return name.is_string() && member(digests, name.get<std::string>().c_str()) == Json(digits(input.origin));
}

void demand_same_inputs(const std::string& path, const Json& card, const std::vector<Input>& inputs) {
    const Json digests = member(card, "inputs");
    if (!digests.is_object()) fail(path, "inputs", "", "needs the digests of the files that the card was made from");
    for (const Input& input : inputs)
        if (!made_from(card, input))
            fail(input.file, "", "", "is not what the card was made from, or has changed since: " + path);
    if (digests.size() > inputs.size() + readings_and_targets)
        fail(path, "", "", "was made with a settings file: give the same one with --settings");
}

Settings settings_in(const std::string& path, const Json& card, const std::string& key) {
    const Json found = member(card, key.c_str());
    const auto turns = table_of<double>(member(found, "turns"));
    const auto shims_mm = table_of<std::vector<double>>(member(found, "shims_mm"));
    const auto box_mm = table_of<std::vector<double>>(member(found, "box_mm"));
    if (!turns || !shims_mm || !box_mm) fail(path, key, "", "needs turns, shims_mm and box_mm with numbers");
    Settings settings;
    settings.file = path;
    settings.turns = *turns;
    settings.shims_mm = *shims_mm;
    settings.box_mm = *box_mm;
    return settings;
}

std::vector<TurnedLine> turned_lines(const std::string& path, const Json& card) {
    const auto demand = [&](bool holds) {
        if (!holds) fail(path, "card.steps", "", "needs steps with lines, each with its text and key");
    };
    const Json steps = member(member(card, "card"), "steps");
    demand(steps.is_array());
    std::vector<TurnedLine> turned;
    for (const Json& step : steps) {
        const Json lines = member(step, "lines"), number = member(step, "number");
        demand(lines.is_array() && number.is_number_integer());
        for (const Json& line : lines) {
            const Json key = member(line, "key"), text = member(line, "text");
            demand(key.is_string() && text.is_string());
            if (!key.get<std::string>().empty())
                turned.push_back({number.get<int>(), key.get<std::string>(), text.get<std::string>()});
        }
    }
    return turned;
}

Json data_in(const std::string& path, Origin& origin) {
    const files::Text read = files::read_text(read_source(path));
    origin = read.origin;
    Json data = parsed(path, read.utf8);
    if (member(data, "format") != Json(card_format))
        fail(path, "format", shown_json(member(data, "format")),
             "needs \"" + std::string(card_format) + "\", a card saved by `shimwise plan --save`");
    return data;
}

}  // namespace

void save_card(const std::string& path, const Plan& plan, const Car& car, Which which,
               const std::vector<Input>& inputs) {
    Json digests = Json::object(), roles = Json::object();
    const std::vector<std::string> names = input_names(inputs);
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        digests[names[i]] = digits(inputs[i].origin);
        roles[inputs[i].role] = names[i];
    }
    const Chances known = chances(plan);
    const Json data = {{"format", card_format},
                       {"car", car.name},
                       {"shimwise", SHIMWISE_VERSION},
                       {"inputs", digests},
                       {"roles", roles},
                       {"choice", which_names[index(which)]},
                       {"chance_to_pass", data_of(known, !plan.closest.next.ids.empty())},
                       {"card", data_of(card(plan, car, which, known))},
                       {"settings_before", data_of(settings_of(as_read(car, plan.measured.read)))},
                       {"settings_after", data_of(settings_after(car, plan, which))}};
    write_new_file(path, data.dump(1) + "\n");
}

std::string card_json(const Card& card) { return data_of(card).dump(); }

Card load_card(const std::string& path) {
    Origin origin;
    const Json data = data_in(path, origin);
    return card_in(path, member(data, "card"));
}

Settings settings_of_card(const std::string& path, const Car& car, const std::vector<Input>& inputs,
                          std::optional<int> through) {
    if (through && !(*through >= 0 && *through <= last_step))
        fail("", "through", std::to_string(*through), "needs the number of a step, 0 to " + std::to_string(last_step));
    Origin origin;
    const Json data = data_in(path, origin);
    if (member(data, "car") != Json(car.name))
        fail(path, "car", shown_json(member(data, "car")), "the car file is of '" + car.name + "'");
    const Settings after = settings_in(path, data, "settings_after");
    demand_same_inputs(path, data, inputs);
    // What the steps do and what the settings say are one thing told twice: a card changed by hand tells two.
    const bool told = data.contains("settings_before");  // not by an earlier version
    const Car before = told ? with_settings(car, settings_in(path, data, "settings_before")) : car;
    const Car left = with_settings(before, after);
    const std::vector<TurnedLine> lines = turned_lines(path, data);
    if (const auto wrong = disagreement(before, lines, left))
        fail(path, wrong->field, "",
             wrong->rule + (told ? ": the card was changed by hand"
                                 : ": the card was changed by hand, or is of an earlier version; plan again"));
    Settings settings = after;
    if (through) {
        std::string why_not;
        settings = settings_of(done_through(before, lines, left, *through, why_not));
        if (!why_not.empty()) fail(path, "through", std::to_string(*through), why_not);
    }
    settings.file = path;
    settings.car = car.name;
    settings.origin = origin;
    return settings;
}

}  // namespace shimwise

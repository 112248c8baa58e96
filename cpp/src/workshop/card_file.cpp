#include "shimwise/workshop/card_file.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "files/json_fault.hpp"
#include "files/text.hpp"
#include "shimwise/error.hpp"
#include "shimwise/files/write.hpp"
#include "shimwise/workshop/choose/chance.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "workshop/card_steps.hpp"

namespace shimwise {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t readings_and_targets = 2;

[[noreturn]] void fail(const std::string& file, const std::string& field, const std::string& value,
                       const std::string& rule) {
    throw InputError({{file, 0, 0, field, value, rule}});
}

template <class T>
Json or_null(const std::optional<T>& value) {
    return value ? Json(*value) : Json();
}

Json data_of(const std::optional<Expectation>& expect) {
    if (!expect) return {};
    return {{"toe_deg", or_null(expect->toe_deg)},
            {"toe_deviation_deg", or_null(expect->toe_deviation_deg)},
            {"flag_difference_mm", or_null(expect->flag_difference_mm)},
            {"flag_deviation_mm", or_null(expect->flag_deviation_mm)},
            {"camber_deg", or_null(expect->camber_deg)},
            {"camber_deviation_deg", or_null(expect->camber_deviation_deg)},
            {"gauge_deg", or_null(expect->gauge_deg)}};
}

Json data_of(const CardStep& step) {
    Json lines = Json::array();
    for (const CardLine& line : step.lines)
        lines.push_back({{"text", line.text},
                         {"corner", line.corner},
                         {"key", line.key},
                         {"minutes", line.minutes},
                         {"expect", data_of(line.expect)}});
    return {{"number", step.number}, {"title", step.title}, {"lines", lines}, {"boxes", step.boxes}};
}

Json data_of(const Card& card) {
    Json steps = Json::array();
    for (const CardStep& step : card.steps) steps.push_back(data_of(step));
    return {{"car", card.car},           {"which", which_names[static_cast<std::size_t>(card.which)]},
            {"title", card.title},       {"frame", card.frame},
            {"touches", card.touches},   {"minutes", card.minutes},
            {"cautions", card.cautions}, {"steps", steps},
            {"refusals", card.refusals}, {"notes", card.notes}};
}

Json data_of(const Chances& chances) {
    const auto rounded = [](const BoxProbability& chance) { return std::round(chance.value * 1e6) / 1e6; };
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

/// A value as a sentence shows it.
std::string shown(const Json& value) {
    if (value.is_null()) return "None";
    constexpr std::size_t longest = 60;
    const std::string text = value.is_string() ? "'" + value.get<std::string>() + "'" : value.dump();
    return text.size() <= longest ? text : "";
}

Json member(const Json& data, const char* key) {
    return data.is_object() && data.contains(key) ? data.at(key) : Json();
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
        const Json lines = member(step, "lines");
        demand(lines.is_array());
        for (const Json& line : lines) {
            const Json key = member(line, "key"), text = member(line, "text");
            demand(key.is_string() && text.is_string());
            if (!key.get<std::string>().empty()) turned.push_back({key.get<std::string>(), text.get<std::string>()});
        }
    }
    return turned;
}

/// What the steps do and what the settings say are one thing told twice: a card changed by hand tells two.
void demand_agreement(const std::string& path, const Json& card, const Car& car, const Settings& after) {
    const bool told = card.contains("settings_before");  // not by an earlier version
    const Car before = told ? with_settings(car, settings_in(path, card, "settings_before")) : car;
    const Car left = with_settings(before, after);
    const auto wrong = disagreement(before, turned_lines(path, card), left);
    if (!wrong) return;
    const std::string why = told ? ": the card was changed by hand"
                                 : ": the card was changed by hand, or is of an earlier version; plan again";
    fail(path, wrong->field, "", wrong->rule + why);
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
    const Json data = {{"format", card_format},
                       {"car", car.name},
                       {"shimwise", SHIMWISE_VERSION},
                       {"inputs", digests},
                       {"roles", roles},
                       {"choice", which_names[static_cast<std::size_t>(which)]},
                       {"chance_to_pass", data_of(chances(plan))},
                       {"card", data_of(card(plan, car, which))},
                       {"settings_before", data_of(settings_of(as_read(car, plan.measured.read)))},
                       {"settings_after", data_of(settings_after(car, plan, which))}};
    write_new_file(path, data.dump(1) + "\n");
}

Settings load_card(const std::string& path, const Car& car, const std::vector<Input>& inputs) {
    const files::Text read = files::read_text(read_source(path));
    const Json data = parsed(path, read.utf8);
    if (member(data, "format") != Json(card_format))
        fail(path, "format", shown(member(data, "format")),
             "needs \"" + std::string(card_format) + "\", a card saved by `shimwise plan --save`");
    if (member(data, "car") != Json(car.name))
        fail(path, "car", shown(member(data, "car")), "the car file is of '" + car.name + "'");
    Settings after = settings_in(path, data, "settings_after");
    after.car = car.name;
    after.origin = read.origin;
    demand_same_inputs(path, data, inputs);
    demand_agreement(path, data, car, after);
    return after;
}

}  // namespace shimwise

#include "shimwise/workshop/card_file.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "files/json_fault.hpp"
#include "files/sha256.hpp"
#include "files/text.hpp"
#include "shimwise/error.hpp"
#include "shimwise/files/write.hpp"
#include "shimwise/workshop/choose/chance.hpp"

namespace shimwise {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t readings_and_targets = 2;

[[noreturn]] void fail(const std::string& file, const std::string& field, const std::string& value,
                       const std::string& rule) {
    throw InputError({{file, 0, 0, field, value, rule}});
}

std::string digest(const std::string& path) { return files::sha256(files::contents(path)).substr(0, 16); }

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

Json read_json(const std::string& path) {
    const std::string text = files::contents(path);
    for (std::size_t at = 0; at < text.size(); at += files::utf8_length(text, at))
        if (files::utf8_length(text, at) == 0) fail(path, "", "", "is not a text file");
    try {
        return Json::parse(text);
    } catch (const Json::parse_error& error) {
        throw InputError({files::json_fault(path, text, error.byte, error.what())});
    }
}

/// A value as a sentence shows it.
std::string shown(const Json& value) {
    if (value.is_null()) return "None";
    return value.is_string() ? "'" + value.get<std::string>() + "'" : value.dump();
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

void demand_same_inputs(const std::string& path, const Json& card, const std::vector<std::string>& inputs) {
    const Json made_from = member(card, "inputs");
    if (!made_from.is_object()) fail(path, "inputs", "", "needs the digests of the files that the card was made from");
    for (const std::string& file : inputs)
        if (std::find(made_from.begin(), made_from.end(), Json(digest(file))) == made_from.end())
            fail(file, "", "", "is not what the card was made from, or has changed since: " + path);
    if (made_from.size() > inputs.size() + readings_and_targets)
        fail(path, "", "", "was made with a settings file: give the same one with --settings");
}

}  // namespace

void save_card(const std::string& path, const Plan& plan, const Car& car, Which which,
               const std::vector<std::string>& inputs) {
    Json digests = Json::object();
    for (const std::string& input : inputs) digests[std::filesystem::path(input).filename().string()] = digest(input);
    const Json data = {{"format", card_format},
                       {"car", car.name},
                       {"shimwise", SHIMWISE_VERSION},
                       {"inputs", digests},
                       {"choice", which_names[static_cast<std::size_t>(which)]},
                       {"chance_to_pass", data_of(chances(plan))},
                       {"card", data_of(card(plan, car, which))},
                       {"settings_after", data_of(settings_after(car, plan, which))}};
    write_file(path, data.dump(1) + "\n");
}

Settings load_card(const std::string& path, const Car& car, const std::vector<std::string>& inputs) {
    const Json data = read_json(path);
    if (member(data, "format") != Json(card_format))
        fail(path, "format", shown(member(data, "format")),
             "needs \"" + std::string(card_format) + "\", a card saved by `shimwise plan --save`");
    if (member(data, "car") != Json(car.name))
        fail(path, "car", shown(member(data, "car")), "the car file is of '" + car.name + "'");
    const Json after = member(data, "settings_after");
    const auto turns = table_of<double>(member(after, "turns"));
    const auto shims_mm = table_of<std::vector<double>>(member(after, "shims_mm"));
    const auto box_mm = table_of<std::vector<double>>(member(after, "box_mm"));
    if (!turns || !shims_mm || !box_mm)
        fail(path, "settings_after", "", "needs turns, shims_mm and box_mm with numbers");
    demand_same_inputs(path, data, inputs);
    return {path, car.name, *turns, *shims_mm, *box_mm};
}

}  // namespace shimwise

#include "workshop/card_json.hpp"

#include <cmath>

#include "shimwise/error.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

template <class T>
Json or_null(const std::optional<T>& value) {
    return value ? Json(*value) : Json();
}

Json data_of(const CardLine& line);
Json data_of(const CardStep& step);
Json data_of(const CardValue& value);
Json data_of(const Doubt& doubt);

Json data_of(const CardReading& reading) {
    return {{"of", reading_of_names[index(reading.of)]},
            {"at", reading.at},
            {"expect", reading.expect},
            {"window", reading.window}};
}

template <class T>
Json list_of(const std::vector<T>& items) {
    Json list = Json::array();
    for (const T& item : items) list.push_back(data_of(item));
    return list;
}

Json data_of(const CardLine& line) {
    return {{"text", line.text},
            {"corner", line.corner},
            {"key", line.key},
            {"minutes", line.minutes},
            {"way_round", line.way_round},
            {"length_mm", line.length_mm ? Json::array({line.length_mm->first, line.length_mm->second}) : Json()},
            {"ticks", line.ticks},
            {"expect", list_of(line.expect)}};
}

Json data_of(const CardStep& step) {
    return {{"number", step.number}, {"title", step.title}, {"lines", list_of(step.lines)}, {"boxes", step.boxes}};
}

Json data_of(const CardValue& value) {
    return {{"key", value.key},
            {"unit", value.unit},
            {"asks", value.judged ? Json(asks_names[index(value.asks)]) : Json()},
            {"measured", or_null(value.measured)},
            {"uncertainty", or_null(value.uncertainty)},
            {"now", or_null(value.now)},
            {"value", or_null(value.value)},
            {"tolerance", or_null(value.tolerance)},
            {"least", or_null(value.least)},
            {"most", or_null(value.most)},
            {"tolerance_is_common_practice", value.tolerance_is_common_practice},
            {"then", or_null(value.then)},
            {"window", or_null(value.window)},
            {"within", or_null(value.within)}};
}

Json data_of(const Doubt& doubt) { return {{"at", doubt.at}, {"text", doubt.text}}; }

/// One value of a card with where it stands; what it cannot be is noted, and read on.
class Reader {
public:
    Reader(const Json& data, std::string field, std::string file, std::vector<Problem>& problems)
        : data_(data), field_(std::move(field)), file_(std::move(file)), problems_(problems) {}

    const Json& data() const { return data_; }
    bool given() const { return !data_.is_null(); }

    Reader at(const char* key) const {
        if (!data_.is_object()) refuse("needs a table");
        return {data_.is_object() && data_.contains(key) ? data_.at(key) : none(), field_ + "." + key, file_,
                problems_};
    }
    std::vector<Reader> items() const {
        std::vector<Reader> all;
        if (given() && !data_.is_array()) refuse("needs a list");
        if (data_.is_array())
            for (std::size_t i = 0; i < data_.size(); ++i)
                all.emplace_back(data_.at(i), field_ + "[" + std::to_string(i) + "]", file_, problems_);
        return all;
    }
    std::string text() const {
        if (given() && !data_.is_string()) refuse("needs a text");
        return data_.is_string() ? data_.get<std::string>() : "";
    }
    std::string needed_text() const {
        if (!given()) refuse("is missing: needs a text");
        return text();
    }
    std::vector<std::string> texts() const {
        std::vector<std::string> all;
        for (const Reader& one : items()) all.push_back(one.needed_text());
        return all;
    }
    std::optional<double> number() const {
        if (given() && !data_.is_number()) refuse("needs a number");
        return data_.is_number() ? std::optional(data_.get<double>()) : std::nullopt;
    }
    double needed_number() const {
        if (!given()) refuse("is missing: needs a number");
        return number().value_or(0.0);
    }
    std::optional<bool> flag() const {
        if (given() && !data_.is_boolean()) refuse("needs true or false");
        return data_.is_boolean() ? std::optional(data_.get<bool>()) : std::nullopt;
    }
    template <class Enum, std::size_t N>
    Enum name(const std::array<std::string_view, N>& names) const {
        const auto found = data_.is_string() ? named<Enum>(names, data_.get<std::string>()) : std::nullopt;
        if (!found) {
            std::vector<std::string> all(names.begin(), names.end());
            refuse("needs one of " + listed_words(all));
        }
        return found.value_or(Enum{});
    }
    void refuse(const std::string& rule) const {
        problems_.push_back({file_, 0, 0, field_, given() ? shown_json(data_) : "", rule});
    }

private:
    static const Json& none() {
        static const Json null;
        return null;
    }

    const Json& data_;
    std::string field_, file_;
    std::vector<Problem>& problems_;
};

/// Of a card of an earlier version: flags and gauge with one standard deviation each.
std::vector<CardReading> readings_told_before(const Reader& data, const std::string& corner) {
    std::vector<CardReading> readings;
    const auto add = [&](ReadingOf of, const char* expect, const char* deviation) {
        const auto value = data.at(expect).number(), spread = data.at(deviation).number();
        if (value && spread) readings.push_back({of, corner, *value, 2.0 * *spread});
    };
    add(ReadingOf::flags, "flag_difference_mm", "flag_deviation_mm");
    add(ReadingOf::gauge, "gauge_deg", "camber_deviation_deg");
    return readings;
}

CardReading reading_in(const Reader& data) {
    CardReading reading;
    reading.of = data.at("of").name<ReadingOf>(reading_of_names);
    reading.at = data.at("at").needed_text();
    reading.expect = data.at("expect").needed_number();
    reading.window = data.at("window").needed_number();
    if (!(reading.window >= 0.0)) data.at("window").refuse("needs 0 or more");
    return reading;
}

CardLine line_in(const Reader& data) {
    CardLine line;
    line.text = data.at("text").needed_text();
    line.corner = data.at("corner").text();
    line.key = data.at("key").needed_text();
    line.minutes = data.at("minutes").number().value_or(0.0);
    line.way_round = data.at("way_round").text();
    const auto lengths = data.at("length_mm").items();
    if (lengths.size() == 2)
        line.length_mm = {lengths[0].needed_number(), lengths[1].needed_number()};
    else if (!lengths.empty())
        data.at("length_mm").refuse("needs two lengths, before and after");
    line.ticks = data.at("ticks").texts();
    const Reader expect = data.at("expect");
    if (expect.data().is_object())
        line.expect = readings_told_before(expect, line.corner);
    else
        for (const Reader& one : expect.items()) line.expect.push_back(reading_in(one));
    return line;
}

CardStep step_in(const Reader& data) {
    CardStep step;
    const double number = data.at("number").needed_number();
    constexpr double most = 1000.0;
    if (std::fabs(number) <= most && number == std::floor(number))
        step.number = static_cast<int>(number);
    else
        data.at("number").refuse("needs a whole number");
    step.title = data.at("title").needed_text();
    for (const Reader& one : data.at("lines").items()) step.lines.push_back(line_in(one));
    step.boxes = data.at("boxes").flag().value_or(false);
    return step;
}

CardValue value_in(const Reader& data) {
    CardValue value;
    value.key = data.at("key").needed_text();
    value.unit = data.at("unit").text();
    value.judged = data.at("asks").given();
    if (value.judged) value.asks = data.at("asks").name<Asks>(asks_names);
    value.measured = data.at("measured").number();
    value.uncertainty = data.at("uncertainty").number();
    value.now = data.at("now").number();
    value.value = data.at("value").number();
    value.tolerance = data.at("tolerance").number();
    value.least = data.at("least").number();
    value.most = data.at("most").number();
    value.tolerance_is_common_practice = data.at("tolerance_is_common_practice").flag().value_or(false);
    value.then = data.at("then").number();
    value.window = data.at("window").number();
    value.within = data.at("within").flag();
    return value;
}

}  // namespace

Json data_of(const Card& card) {
    return {{"car", card.car},
            {"place", card.place},
            {"at", card.at},
            {"which", which_names[index(card.which)]},
            {"title", card.title},
            {"why", card.why},
            {"frame", card.frame},
            {"touches", card.touches},
            {"minutes", card.minutes},
            {"chance", or_null(card.chance)},
            {"doubts", list_of(card.doubts)},
            {"moves", card.moves},
            {"cautions", card.cautions},
            {"steps", list_of(card.steps)},
            {"values", list_of(card.values)},
            {"proof", card.proof},
            {"notes", card.notes}};
}

Card card_in(const std::string& path, const Json& data) {
    std::vector<Problem> problems;
    const Reader read(data, "card", path, problems);
    if (!data.is_object()) {
        read.refuse("needs a table: the card itself");
        throw InputError(problems);
    }
    Card card;
    card.car = read.at("car").needed_text();
    card.place = read.at("place").text();
    card.at = read.at("at").text();
    card.which = read.at("which").name<Which>(which_names);
    card.title = read.at("title").needed_text();
    card.why = read.at("why").text();
    card.frame = read.at("frame").text();
    card.touches = read.at("touches").flag().value_or(false);
    card.minutes = read.at("minutes").number().value_or(0.0);
    card.chance = read.at("chance").number();
    for (const Reader& one : read.at("doubts").items())
        card.doubts.push_back({one.at("at").needed_text(), one.at("text").needed_text()});
    card.moves = read.at("moves").texts();
    card.cautions = read.at("cautions").texts();
    if (!read.at("steps").given()) read.at("steps").refuse("is missing: needs a list");
    for (const Reader& one : read.at("steps").items()) card.steps.push_back(step_in(one));
    for (const Reader& one : read.at("values").items()) card.values.push_back(value_in(one));
    card.proof = read.at("proof").text();
    card.notes = read.at("refusals").texts();  // of an earlier version
    for (std::string& note : read.at("notes").texts()) card.notes.push_back(std::move(note));
    if (!problems.empty()) {
        constexpr std::size_t told = 40;
        const std::size_t left_out = problems.size() > told ? problems.size() - told : 0;
        problems.resize(problems.size() - left_out);
        throw InputError(std::move(problems), left_out);
    }
    return card;
}

Json member(const Json& data, const char* key) {
    return data.is_object() && data.contains(key) ? data.at(key) : Json();
}

std::string shown_json(const Json& value) {
    if (value.is_null()) return "None";
    constexpr std::size_t longest = 60;
    const std::string text = value.is_string() ? "'" + value.get<std::string>() + "'" : value.dump();
    return text.size() <= longest ? text : "";
}

}  // namespace shimwise

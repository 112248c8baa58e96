#include "model/step_words.hpp"

#include <array>
#include <cmath>
#include <string_view>

namespace shimwise {
namespace {

struct Step {
    std::string_view name;
    double turns;
};
constexpr std::array<Step, 6> steps = {{{"quarter_flat", 1.0 / 24.0},
                                        {"half_flat", 1.0 / 12.0},
                                        {"flat", 1.0 / 6.0},
                                        {"quarter_turn", 0.25},
                                        {"half_turn", 0.5},
                                        {"turn", 1.0}}};

}  // namespace

std::optional<double> step_turns(const std::string& word) {
    for (const Step& step : steps)
        if (step.name == word) return step.turns;
    const std::string head = "1/", tail = " turn";
    if (word.size() <= head.size() + tail.size() || !word.starts_with(head)) return std::nullopt;
    if (!word.ends_with(tail)) return std::nullopt;
    const std::string digits = word.substr(head.size(), word.size() - head.size() - tail.size());
    if (digits.size() > 4 || digits.find_first_not_of("0123456789") != std::string::npos) return std::nullopt;
    const int parts = std::stoi(digits);
    return parts > 0 ? std::optional<double>(1.0 / parts) : std::nullopt;
}

std::string step_word(double turns) {
    if (turns == 0.0) return "anywhere";
    for (const Step& step : steps)
        if (step.turns == turns) return std::string(step.name);
    return "1/" + std::to_string(std::lround(1.0 / turns)) + " turn";
}

std::vector<std::string> step_words() {
    std::vector<std::string> words;
    for (const Step& step : steps) words.emplace_back(step.name);
    return words;
}

}  // namespace shimwise

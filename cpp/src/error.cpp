#include "shimwise/error.hpp"

#include <algorithm>

namespace shimwise {
namespace {

constexpr std::size_t most_said = 40;

std::string sentences(const std::vector<Problem>& problems, std::size_t left_out) {
    const std::size_t said = std::min(problems.size(), most_said);
    std::string all;
    for (std::size_t i = 0; i < said; ++i) all += (i == 0 ? "" : "\n") + sentence(problems[i]);
    const std::size_t more = problems.size() - said + left_out;
    return more == 0 ? all : all + "\nand " + std::to_string(more) + " more of such problems";
}

}  // namespace

std::string sentence(const Problem& problem) {
    std::string text = problem.file;
    if (problem.line > 0) text += ":" + std::to_string(problem.line);
    if (problem.line > 0 && problem.column > 0) text += ":" + std::to_string(problem.column);
    if (!text.empty()) text += ": ";
    text += problem.field;
    if (!problem.value.empty()) text += (problem.field.empty() ? "" : " = ") + problem.value;
    if (!problem.field.empty() || !problem.value.empty()) text += ": ";
    return text + problem.rule;
}

InputError::InputError(std::vector<Problem> problems, std::size_t left_out)
    : std::runtime_error(sentences(problems, left_out)), problems_(std::move(problems)) {}

}  // namespace shimwise

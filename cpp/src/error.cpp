#include "shimwise/error.hpp"

namespace shimwise {
namespace {

std::string sentences(const std::vector<Problem>& problems) {
    std::string all;
    for (const Problem& problem : problems) all += (all.empty() ? "" : "\n") + sentence(problem);
    return all;
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

InputError::InputError(std::vector<Problem> problems)
    : std::runtime_error(sentences(problems)), problems_(std::move(problems)) {}

}  // namespace shimwise

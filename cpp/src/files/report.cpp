#include "files/report.hpp"

#include <algorithm>
#include <tuple>

namespace shimwise::files {
namespace {

std::string first_word(const std::string& field) { return field.substr(0, field.find('.')); }
std::string last_word(const std::string& field) { return field.substr(field.rfind('.') + 1); }

}  // namespace

void Report::add(const Place& place, const std::string& field, const std::string& rule) {
    broken_.insert(first_word(field));
    if (place.mirrored)
        for (const Problem& known : problems_)
            if (known.line == place.line && known.column == place.column && last_word(known.field) == last_word(field))
                return;
    problems_.push_back({file_, place.line, place.column, field, place.written, rule});
}

void Report::add_sense(const Problem& problem) {
    const std::string part = first_word(problem.field);
    if (broken_.count(part)) return;
    const Place* place = nearest(problem.field);
    add(place ? *place : Place{}, problem.field, problem.rule);
    broken_.erase(part);
}

const Place* Report::nearest(std::string field) const {
    while (true) {
        const auto found = places_.find(field);
        if (found != places_.end()) return &found->second;
        const auto dot = field.rfind('.');
        if (dot == std::string::npos) return nullptr;
        field.erase(dot);
    }
}

void Report::throw_if_any() const {
    if (problems_.empty()) return;
    std::vector<Problem> sorted = problems_;
    std::stable_sort(sorted.begin(), sorted.end(), [](const Problem& a, const Problem& b) {
        return std::tie(a.line, a.column) < std::tie(b.line, b.column);
    });
    throw InputError(std::move(sorted));
}

}  // namespace shimwise::files

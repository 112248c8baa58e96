#include "files/report.hpp"

#include <algorithm>
#include <tuple>

namespace shimwise::files {
namespace {

std::string parent(const std::string& field) {
    const auto dot = field.rfind('.');
    return dot == std::string::npos ? std::string() : field.substr(0, dot);
}
bool lies_in(const std::string& field, const std::string& table) {
    return field.size() > table.size() && field[table.size()] == '.' && field.starts_with(table);
}
std::string last_word(const std::string& field) { return field.substr(field.rfind('.') + 1); }

}  // namespace

void Report::add(const Place& place, const std::string& field, const std::string& rule) {
    if (!full()) broken_.insert(field);
    add_found(place, field, rule);
}

bool Report::full() const {
    constexpr std::size_t most = 1000;
    return problems_.size() >= most;
}

void Report::add_found(const Place& place, const std::string& field, const std::string& rule) {
    if (place.mirrored)
        for (const Problem& known : problems_)
            if (known.line == place.line && known.column == place.column && last_word(known.field) == last_word(field))
                return;
    if (full())
        ++left_out_;
    else
        problems_.push_back({file_, place.line, place.column, field, place.written, rule});
}

void Report::add_sense(const Problem& problem) {
    if (may_follow_from_broken(problem.field)) return;
    const Place* place = nearest(problem.field);
    add_found(place ? *place : Place{}, problem.field, problem.rule);
}

bool Report::may_follow_from_broken(const std::string& field) const {
    return std::any_of(broken_.begin(), broken_.end(), [&](const std::string& broken) {
        const bool same_table = !parent(field).empty() && parent(field) == parent(broken);
        return same_table || field == broken || lies_in(field, broken) || lies_in(broken, field);
    });
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
    throw_located(std::move(sorted));
}

void Report::throw_located(std::vector<Problem> problems) const {
    if (!has_lines_)
        for (Problem& problem : problems) problem.line = problem.column = 0;
    throw InputError(std::move(problems), left_out_);
}

}  // namespace shimwise::files

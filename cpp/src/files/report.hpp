// The problems of one file, collected while it is read.
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "files/value.hpp"
#include "shimwise/error.hpp"
#include "shimwise/files/source.hpp"

namespace shimwise::files {

class Report {
public:
    explicit Report(const Source& source) : file_(source.name), has_lines_(source.has_lines) {}

    /// A fault of what is written at `place`. One fault of a value that both sides take is listed once.
    void add(const Place& place, const std::string& field, const std::string& rule);
    /// A fault found later in what was read: placed where the field, or else its nearest table, was written. Left out
    /// where reading already failed in the same table, above or below it: it may be nothing but the consequence.
    void add_sense(const Problem& problem);
    void remember(const std::string& field, const Place& place) { places_.emplace(field, place); }
    const std::string& file() const { return file_; }
    /// No more is kept, only counted: nobody reads a thousand sentences, or waits for what they suggest.
    bool full() const;
    /// Throws InputError with everything found, in the order of the file.
    void throw_if_any() const;
    /// Throws InputError with these, placed only where the lines are known.
    [[noreturn]] void throw_located(std::vector<Problem> problems) const;

private:
    void add_found(const Place& place, const std::string& field, const std::string& rule);
    const Place* nearest(std::string field) const;
    bool may_follow_from_broken(const std::string& field) const;

    std::string file_;
    bool has_lines_;
    std::vector<Problem> problems_;
    std::size_t left_out_ = 0;
    std::map<std::string, Place> places_;
    std::set<std::string> broken_;  // fields that could not be read
};

}  // namespace shimwise::files

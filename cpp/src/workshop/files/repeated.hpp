// Readings that may be taken more than once: a number or a list of them.
#pragma once

#include <numeric>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "files/table.hpp"
#include "shimwise/workshop/files/readings.hpp"

namespace shimwise {

inline double mean(const std::vector<double>& all) {
    return std::accumulate(all.begin(), all.end(), 0.0) / static_cast<double>(all.size());
}

/// A number or a list of them: the mean, and whatever was read more than once.
template <class Into>
bool read_mean(files::Table& table, std::string_view key, const std::string& reading, Into& into, Readings& readings) {
    std::vector<double> all;
    if (!table.read_one_or_more(key, all)) return false;
    into = mean(all);
    if (all.size() > 1) readings.repeated[reading] = std::move(all);
    return true;
}

/// The least and the most of what was read.
std::pair<double, double> ends(const Readings& readings, const std::string& reading, double value);

bool read_required(files::Table& table, std::string_view key, const std::string& reading, double& into,
                   Readings& readings);

/// A number as the gauge is always held, or { facing, turned }; `reading`: "front_left.camber".
void read_reversal(files::Table& table, std::string_view key, bool both_ways, const std::string& reading,
                   std::optional<Reversal>& into, Readings& readings);

}  // namespace shimwise

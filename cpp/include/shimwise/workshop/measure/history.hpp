// A folder of baselines: which took the place of which, and whether a value drifts.
#pragma once

#include <string>
#include <vector>

#include "shimwise/workshop/measure/baseline.hpp"

namespace shimwise {

/// A baseline in its history.
struct Accepted {
    Baseline baseline;
    bool in_chain = false;      // of those whose values are followed; else beside it
    std::optional<double> day;  // of its readings, from the first in the chain; nothing where one has no date
    std::vector<std::string> replaced_by;  // files that replace it
};

/// A straight line through what one value was in every baseline of the chain, weighted by its noise.
struct Trend {
    std::string key, unit;
    std::vector<std::size_t> at;  // places in the chain
    std::vector<double> values;
    double noise = 0.0;   // of one value, root of the mean square
    double rate = 0.0;    // per day, or from one baseline to the next where they are not dated
    double over = 0.0;    // by the line, from the first to the last
    double over_u = 0.0;  // standard uncertainty of that
    double chance = 1.0;  // of as steep a line where there is none
    bool is_one = false;  // chance below 5 %
};

struct History {
    std::string car;
    std::vector<Accepted> accepted;   // the chain first, oldest first; then what is beside it
    std::vector<std::string> faults;  // sentences: forks, gaps, changed and broken files
    std::vector<Trend> trends;        // of values that three or more baselines of the chain have
    bool dated = false;               // rates are per day
    bool one_set = false;             // noise is what comes anew: all were read with the same instruments
};

/// Days from 1970-01-01 of an ISO date, with or without time and zone; nothing where it is none.
std::optional<double> days_of(const std::string& at);

/// That a baseline was read before the one that it replaces; empty where it was not, or where a date is missing.
std::string older_words(const Baseline& baseline, const Baseline& replaced);

/// All baselines among the TOML files of a folder; other files are not looked at. The chain is the longest line of
/// replacements, of equal ones that with the latest date. Trend: least squares weighted by each value's noise; where
/// the values scatter more than that, the slope's uncertainty is that of the scatter, and Student's distribution
/// counts. Throws InputError where there is no such folder, no baseline in it, or those of several cars.
History history(const std::string& folder);

}  // namespace shimwise

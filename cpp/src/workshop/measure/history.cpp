#include "shimwise/workshop/measure/history.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <numbers>
#include <set>
#include <span>

#include "shimwise/error.hpp"
#include "shimwise/math/normal.hpp"

namespace shimwise {
namespace {

namespace fs = std::filesystem;

constexpr double level = 0.05;
constexpr std::size_t least_of_a_trend = 3;

[[noreturn]] void refuse(const std::string& folder, const std::string& rule) {
    throw InputError({{folder, 0, 0, "", "", rule}});
}

std::string file_name(const Baseline& baseline) { return fs::path(baseline.file).filename().string(); }

std::vector<std::string> toml_files(const std::string& folder) {
    std::error_code error;
    if (!fs::is_directory(folder, error)) refuse(folder, "there is no such folder");
    std::vector<std::string> paths;
    for (auto entry = fs::directory_iterator(folder, error); !error && entry != fs::directory_iterator();
         entry.increment(error))
        if (entry->path().extension() == ".toml" && entry->is_regular_file(error))
            paths.push_back(entry->path().string());
    if (error) refuse(folder, "cannot be read");
    std::ranges::sort(paths);
    return paths;
}

/// The baselines of a folder; what is wrong with those that cannot be read.
std::vector<Baseline> baselines_in(const std::string& folder, std::vector<std::string>& faults) {
    std::vector<Baseline> found;
    for (const std::string& path : toml_files(folder)) {
        try {
            const Source source = read_source(path);
            if (!is_baseline(source)) continue;
            found.push_back(baseline_from(source));
        } catch (const InputError& error) {
            faults.push_back(sentence(error.problems().front()));
        }
    }
    return found;
}

/// Baselines by who replaces whom.
class Lines {
public:
    Lines(std::vector<Baseline> given, std::vector<std::string>& faults) : all_(std::move(given)) {
        for (std::size_t i = 0; i < all_.size(); ++i) {
            const auto [first, is_new] = by_digest_.emplace(digits(all_[i].origin), i);
            if (!is_new)
                faults.push_back(file_name(all_[first->second]) + " and " + file_name(all_[i]) +
                                 " are the same: one counts");
        }
        next_.resize(all_.size());
        for (const auto& [digest, i] : by_digest_) {
            const std::string& before = all_[i].replaces;
            if (before.empty()) continue;
            const auto of = by_digest_.find(before);
            if (of != by_digest_.end())
                next_[of->second].push_back(i);
            else
                faults.push_back("A gap: " + file_name(all_[i]) +
                                 " replaces a baseline that is not here, or was changed (" + before + ")");
        }
        for (auto& next : next_) std::ranges::sort(next, {}, [this](std::size_t i) { return file_name(all_[i]); });
        say_forks(faults);
    }

    History told() {
        History history;
        history.car = all_.front().car;
        const std::vector<std::size_t> chain = longest();
        std::set<std::size_t> told(chain.begin(), chain.end());
        for (const std::size_t i : chain) history.accepted.push_back(entry(i, true));
        std::vector<std::size_t> beside;
        for (const auto& [digest, i] : by_digest_)
            if (!told.contains(i)) beside.push_back(i);
        std::ranges::sort(beside, {}, [this](std::size_t i) { return std::pair(all_[i].at, file_name(all_[i])); });
        for (const std::size_t i : beside) history.accepted.push_back(entry(i, false));
        return history;
    }

private:
    Accepted entry(std::size_t i, bool in_chain) const {
        Accepted one{all_[i], in_chain, {}, {}};
        for (const std::size_t after : next_[i]) one.replaced_by.push_back(file_name(all_[after]));
        return one;
    }

    void say_forks(std::vector<std::string>& faults) const {
        std::vector<std::string> starts;
        for (std::size_t i = 0; i < all_.size(); ++i) {
            if (next_[i].size() > 1) {
                std::string names;
                for (const std::size_t after : next_[i]) names += (names.empty() ? "" : ", ") + file_name(all_[after]);
                faults.push_back("A fork: " + file_name(all_[i]) + " is replaced more than once: by " + names);
            }
        }
        for (const auto& [digest, i] : by_digest_)
            if (all_[i].replaces.empty()) starts.push_back(file_name(all_[i]));
        std::ranges::sort(starts);
        if (starts.size() < 2) return;
        std::string names;
        for (const std::string& name : starts) names += (names.empty() ? "" : ", ") + name;
        faults.push_back("Several beginnings: " + names + " replace nothing");
    }

    /// Down from every baseline that nothing here comes before. Lines are as long as there are files: no recursion.
    std::vector<std::size_t> longest() const {
        std::vector<std::size_t> best;
        for (const auto& [digest, start] : by_digest_) {
            if (by_digest_.contains(all_[start].replaces)) continue;
            std::vector<std::vector<std::size_t>> open = {{start}};
            while (!open.empty()) {
                std::vector<std::size_t> line = std::move(open.back());
                open.pop_back();
                while (next_[line.back()].size() == 1) line.push_back(next_[line.back()].front());
                const auto& next = next_[line.back()];
                for (const std::size_t i : next) {
                    open.push_back(line);
                    open.back().push_back(i);
                }
                if (next.empty() && better(line, best)) best = std::move(line);
            }
        }
        return best;
    }

    bool better(const std::vector<std::size_t>& line, const std::vector<std::size_t>& best) const {
        if (line.size() != best.size()) return line.size() > best.size();
        return all_[line.back()].at > all_[best.back()].at;
    }

    std::vector<Baseline> all_;
    std::map<std::string, std::size_t> by_digest_;
    std::vector<std::vector<std::size_t>> next_;  // that replace it
};

std::size_t chain_of(const History& history) {
    return static_cast<std::size_t>(std::ranges::count_if(history.accepted, &Accepted::in_chain));
}

void date(History& history) {
    const std::size_t n = chain_of(history);
    std::vector<double> days;
    for (std::size_t i = 0; i < n; ++i)
        if (const auto day = days_of(history.accepted[i].baseline.at)) days.push_back(*day);
    history.dated = days.size() == n && days.back() > days.front();
    if (days.size() != n) return;
    for (std::size_t i = 0; i < n; ++i) history.accepted[i].day = days[i] - days.front();
}

/// The line through a value, places in time x and noise s.
void fit(Trend& trend, const std::vector<double>& x, const std::vector<double>& s) {
    const std::size_t n = x.size();
    double weights = 0.0, x_mean = 0.0, y_mean = 0.0, square = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const double w = 1.0 / (s[i] * s[i]);
        weights += w;
        x_mean += w * x[i];
        y_mean += w * trend.values[i];
        square += s[i] * s[i];
    }
    x_mean /= weights;
    y_mean /= weights;
    double xx = 0.0, xy = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const double w = 1.0 / (s[i] * s[i]), dx = x[i] - x_mean;
        xx += w * dx * dx;
        xy += w * dx * (trend.values[i] - y_mean);
    }
    if (!(xx > 0.0)) return;
    trend.noise = std::sqrt(square / static_cast<double>(n));
    trend.rate = xy / xx;
    double chi_square = 0.0;
    for (std::size_t i = 0; i < n; ++i)
        chi_square += std::pow((trend.values[i] - y_mean - trend.rate * (x[i] - x_mean)) / s[i], 2);
    const int degrees = static_cast<int>(n) - 2;
    const double scatter = chi_square / degrees;
    const double u = std::sqrt(std::max(1.0, scatter) / xx);
    const double t = std::abs(trend.rate) / u;
    trend.chance = scatter > 1.0 ? 1.0 - student_within(t, degrees) : 2.0 * normal_below(-t);
    trend.is_one = trend.chance < level;
    const auto [first, last] = std::ranges::minmax(x);
    trend.over = trend.rate * (last - first);
    trend.over_u = u * (last - first);
}

void follow(History& history) {
    const std::size_t n = chain_of(history);
    const auto chain = std::span(history.accepted).first(n);
    history.one_set = std::ranges::all_of(
        chain, [&](const Accepted& one) { return one.baseline.instruments == chain[0].baseline.instruments; });
    for (const BaselineValue& last : chain[n - 1].baseline.values) {
        Trend trend;
        trend.key = last.key;
        trend.unit = last.unit;
        std::vector<double> x, s;
        for (std::size_t i = 0; i < n; ++i) {
            const Accepted& one = chain[i];
            const auto& values = one.baseline.values;
            const auto value = std::ranges::find(values, last.key, &BaselineValue::key);
            const double noise = value == values.end() ? 0.0 : history.one_set ? value->anew : value->u;
            if (!(noise > 0.0) || value->unit != last.unit) continue;
            trend.at.push_back(i);
            trend.values.push_back(value->value);
            x.push_back(history.dated ? *one.day : static_cast<double>(i));
            s.push_back(noise);
        }
        if (x.size() < least_of_a_trend) continue;
        fit(trend, x, s);
        history.trends.push_back(std::move(trend));
    }
}

}  // namespace

double student_within(double t, int degrees) {
    const double theta = std::atan2(std::abs(t), std::sqrt(static_cast<double>(degrees)));
    const double s = std::sin(theta), c = std::cos(theta);
    double term = degrees % 2 == 1 ? c : 1.0, sum = degrees == 1 ? 0.0 : term;
    for (int k = degrees % 2 == 1 ? 3 : 2; k <= degrees - 2; k += 2) {
        term *= c * c * (k - 1) / k;
        sum += term;
    }
    return degrees % 2 == 1 ? 2.0 / std::numbers::pi * (theta + s * sum) : s * sum;
}

std::optional<double> days_of(const std::string& at) {
    int year = 0, month = 0, day = 0, hour = 0, minute = 0;
    double second = 0.0;
    if (std::sscanf(at.c_str(), "%4d-%2d-%2d", &year, &month, &day) != 3) return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    if (!date.ok()) return std::nullopt;
    auto days = static_cast<double>(std::chrono::sys_days(date).time_since_epoch().count());
    constexpr std::size_t after_date = 10;
    if (at.size() <= after_date) return days;
    std::sscanf(at.c_str() + after_date + 1, "%2d:%2d:%lf", &hour, &minute, &second);
    int zone_hour = 0, zone_minute = 0;
    const std::size_t zone = at.find_last_of("+-");
    if (zone != std::string::npos && zone > after_date &&
        std::sscanf(at.c_str() + zone + 1, "%2d:%2d", &zone_hour, &zone_minute) == 2) {
        const int way = at[zone] == '+' ? -1 : 1;
        hour += way * zone_hour;
        minute += way * zone_minute;
    }
    days += ((hour * 60.0 + minute) * 60.0 + second) / 86400.0;
    return days;
}

History history(const std::string& folder) {
    std::vector<std::string> faults;
    std::vector<Baseline> all = baselines_in(folder, faults);
    if (all.empty()) {
        std::string first = faults.empty() ? "" : ": " + faults.front();
        refuse(folder, "holds no baseline that can be read" + first);
    }
    for (const Baseline& one : all)
        if (one.car != all.front().car)
            refuse(folder,
                   "holds baselines of " + all.front().car + " and of " + one.car + ": a history is of one car");
    History found = Lines(std::move(all), faults).told();
    found.faults = std::move(faults);
    date(found);
    follow(found);
    return found;
}

}  // namespace shimwise

#include "shimwise/workshop/measure/history.hpp"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>
#include <filesystem>
#include <set>
#include <span>

#include "shimwise/error.hpp"
#include "shimwise/math/normal.hpp"
#include "shimwise/math/student.hpp"

namespace shimwise {
namespace {

namespace fs = std::filesystem;

constexpr double level = 0.05;
constexpr std::size_t least_of_a_trend = 3;

/// The number that begins at a place of a text, of so many letters at most.
template <class T>
std::optional<T> number_at(const std::string& text, std::size_t at, std::size_t length) {
    if (at >= text.size()) return std::nullopt;
    const char* first = text.data() + at;
    T number{};
    if (std::from_chars(first, first + std::min(length, text.size() - at), number).ec != std::errc())
        return std::nullopt;
    return number;
}

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
            if (of != by_digest_.end()) {
                next_[of->second].push_back(i);
                if (std::string words = older_words(all_[i], all_[of->second]); !words.empty())
                    faults.push_back(std::move(words));
            } else {
                faults.push_back("A gap: " + file_name(all_[i]) +
                                 " replaces a baseline that is not here, or was changed (" + before + ")");
            }
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
    trend.chance = scatter > 1.0 ? 2.0 * student_below(-t, degrees) : 2.0 * normal_below(-t);
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

std::optional<double> days_of(const std::string& at) {
    const auto year = number_at<int>(at, 0, 4), month = number_at<int>(at, 5, 2), day = number_at<int>(at, 8, 2);
    if (!year || !month || !day || at[4] != '-' || at[7] != '-') return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year(*year), std::chrono::month(static_cast<unsigned>(*month)),
                                           std::chrono::day(static_cast<unsigned>(*day))};
    if (!date.ok()) return std::nullopt;
    constexpr std::size_t time = 11;  // behind the date and its T
    double minutes = 60.0 * number_at<int>(at, time, 2).value_or(0) + number_at<int>(at, time + 3, 2).value_or(0);
    minutes += number_at<double>(at, time + 6, at.size()).value_or(0.0) / 60.0;
    const std::size_t zone = at.find_last_of("+-");
    if (zone != std::string::npos && zone >= time) {
        const int off = 60 * number_at<int>(at, zone + 1, 2).value_or(0) + number_at<int>(at, zone + 4, 2).value_or(0);
        minutes += at[zone] == '+' ? -off : off;
    }
    return static_cast<double>(std::chrono::sys_days(date).time_since_epoch().count()) + minutes / 1440.0;
}

std::string older_words(const Baseline& baseline, const Baseline& replaced) {
    const auto day = days_of(baseline.at), before = days_of(replaced.at);
    if (!day || !before || !(*day < *before)) return "";
    return file_name(baseline) + ", read " + baseline.at + ", replaces " + file_name(replaced) + ", read " +
           replaced.at + ": it is the older one";
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

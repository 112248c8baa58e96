#include "workshop/files/gauge_checks.hpp"

#include <algorithm>

#include "workshop/files/repeated.hpp"

namespace shimwise {
namespace {

using files::Table;

std::size_t zone_at(const std::string& moment) {
    constexpr std::size_t date = 10;  // its hyphens are no zone
    return std::min(moment.find_first_of("Z+-", date), moment.size());
}

std::string zone(const std::string& moment) { return moment.substr(zone_at(moment)); }

/// Whether ISO text `a` is a time before `b`, in the same zone; both with seconds.
bool earlier(const std::string& a, const std::string& b) {
    constexpr std::size_t seconds = 19;  // "2026-05-02T08:10:00"; what a fraction and a zone add stands behind
    const std::string whole_a = a.substr(0, seconds), whole_b = b.substr(0, seconds);
    if (whole_a != whole_b) return whole_a < whole_b;
    const auto fraction = [](const std::string& text) { return text.substr(seconds, zone_at(text) - seconds); };
    return fraction(a) < fraction(b);
}

void demand_order(Table& check, const GaugeCheck& now, const std::vector<GaugeCheck>& before) {
    if (now.at.find(':') == std::string::npos)
        check.problem("at", "each of several checks needs a date and time, such as 2026-05-02T08:10:00Z");
    else if (before.empty() || before.back().at.find(':') == std::string::npos)
        return;
    else if (zone(before.back().at) != zone(now.at))
        check.problem("at", "the times of all checks are given in one zone");
    else if (!earlier(before.back().at, now.at))
        check.problem("at", "is not later than the check before it");
}

}  // namespace

void read_gauge_checks(Table& root, Readings& readings) {
    const files::Value* given = root.find("gauge_check");
    const bool list = given && given->kind == files::Value::Kind::list;
    std::vector<Table> checks = list ? root.tables("gauge_check") : std::vector{root.table("gauge_check")};
    if (list && given->items.empty()) root.problem("gauge_check", "is an empty list");
    std::vector<double> facing, turned;
    for (Table& check : checks) {
        Readings alone;
        GaugeCheck now;
        check.read_date("at", now.at, true);
        if (checks.size() > 1) demand_order(check, now, readings.gauge_checks);
        if (list && !check.has("camber_gauge_deg")) check.problem("camber_gauge_deg", "is missing");
        read_reversal(check, "camber_gauge_deg", true, "gauge_check", alone.gauge_check_deg, alone);
        check.close();
        if (!alone.gauge_check_deg) continue;
        const auto pool = [&alone](const char* reading, double mean, std::vector<double>& into) {
            const auto found = alone.repeated.find(reading);
            if (found == alone.repeated.end())
                into.push_back(mean);
            else
                into.insert(into.end(), found->second.begin(), found->second.end());
        };
        const double mean_turned = alone.gauge_check_deg->turned.value_or(0.0);
        pool("gauge_check.facing", alone.gauge_check_deg->facing, facing);
        pool("gauge_check.turned", mean_turned, turned);
        now.zero_deg = 0.5 * (alone.gauge_check_deg->facing + mean_turned);
        readings.gauge_checks.push_back(now);
    }
    if (facing.empty()) return;
    readings.gauge_check_deg = Reversal{mean(facing), mean(turned)};
    if (facing.size() > 1) readings.repeated["gauge_check.facing"] = facing;
    if (turned.size() > 1) readings.repeated["gauge_check.turned"] = turned;
}

}  // namespace shimwise

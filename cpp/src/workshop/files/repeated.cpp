#include "workshop/files/repeated.hpp"

#include <algorithm>

namespace shimwise {

using files::Table;
using files::Wanted;

std::pair<double, double> ends(const Readings& readings, const std::string& reading, double value) {
    const auto found = readings.repeated.find(reading);
    if (found == readings.repeated.end()) return {value, value};
    const auto [least, most] = std::ranges::minmax(found->second);
    return {least, most};
}

bool read_required(Table& table, std::string_view key, const std::string& reading, double& into, Readings& readings) {
    if (!table.has(key)) return table.read(key, into, Wanted::required);
    return read_mean(table, key, reading, into, readings);
}

void read_reversal(Table& table, std::string_view key, bool both_ways, const std::string& reading,
                   std::optional<Reversal>& into, Readings& readings) {
    table.know(key);
    const files::Value* value = table.find(key);
    if (!value) return;
    Reversal held;
    if (value->kind == files::Value::Kind::table) {
        Table ways = table.table(key);
        read_required(ways, "facing", reading + ".facing", held.facing, readings);
        double turned = 0.0;
        if (read_required(ways, "turned", reading + ".turned", turned, readings)) held.turned = turned;
        ways.close();
    } else if (both_ways) {
        table.problem(key, "needs { facing = .., turned = .. }: a zero shows only both ways round");
    } else {
        read_mean(table, key, reading + ".facing", held.facing, readings);
    }
    constexpr double most_deg = 45.0;
    const auto within = [&](const char* way, double deg) {
        const auto [least, most] = ends(readings, reading + way, deg);
        return least > -most_deg && most < most_deg;
    };
    if (!(within(".facing", held.facing) && within(".turned", held.turned.value_or(0.0))))
        table.problem(key, "must lie within 45 degrees");
    into = held;
}

}  // namespace shimwise

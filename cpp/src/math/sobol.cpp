#include "shimwise/math/sobol.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace shimwise {
namespace {

struct Row {
    double a = 0.0, b = 0.0, ab = 0.0;
};

std::vector<Row> finite_rows(std::span<const double> a, std::span<const double> b, std::span<const double> ab) {
    std::vector<Row> rows;
    rows.reserve(a.size());
    for (std::size_t i = 0; i < a.size(); ++i)
        if (std::isfinite(a[i]) && std::isfinite(b[i]) && std::isfinite(ab[i])) rows.push_back({a[i], b[i], ab[i]});
    return rows;
}

template <class Of>
double mean(const std::vector<Row>& rows, const Of& of) {
    double sum = 0.0;
    for (const Row& row : rows) sum += of(row);
    return sum / static_cast<double>(rows.size());
}

/// The ratio of the means of `part` and `whole`; its variance by the rows' deviations from it, to first order.
template <class Part, class Whole>
VarianceShare ratio(const std::vector<Row>& rows, const Part& part, const Whole& whole) {
    const double all = mean(rows, whole), share = mean(rows, part) / all;
    const double deviation2 = mean(rows, [&](const Row& row) {
        const double off = (part(row) - share * whole(row)) / all;
        return off * off;
    });
    return {share, std::sqrt(deviation2 / static_cast<double>(rows.size() - 1))};
}

}  // namespace

SobolIndices sobol_indices(std::span<const double> a, std::span<const double> b, std::span<const double> ab) {
    std::vector<Row> rows = finite_rows(a, b, ab);
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    SobolIndices found = {{none, none}, {none, none}, rows.size()};
    if (rows.size() < 2) return found;
    const auto varies = [&](const Row& row) { return row.a != rows[0].a || row.b != rows[0].a; };
    if (std::ranges::none_of(rows, varies)) return found;
    const double middle = mean(rows, [](const Row& row) { return 0.5 * (row.a + row.b); });
    for (Row& row : rows)
        row = {row.a - middle, row.b - middle, row.ab - middle};  // which takes nothing from the shares
    const auto whole = [](const Row& row) { return 0.5 * (row.a * row.a + row.b * row.b); };
    found.first = ratio(rows, [](const Row& row) { return row.b * (row.ab - row.a); }, whole);
    found.total = ratio(rows, [](const Row& row) { return 0.5 * (row.a - row.ab) * (row.a - row.ab); }, whole);
    return found;
}

}  // namespace shimwise
